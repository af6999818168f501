# Tails of the studentized range and of the largest of several |t|, to hold beside core/compare/studentized_range.h
# and many_to_one.h.
#   Rscript tests/reference/max_t.R OUTDIR
# writes studentized_range.csv and max_abs_t.csv. Double integrals by integrate (Gauss-Kronrod), 12 digits; what
# is not of product form by mvtnorm's pmvnorm with Miwa's recursion (mvtnorm 1.1-3). df NA: infinite.

suppressPackageStartupMessages(library(mvtnorm))
arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript max_t.R OUTDIR")

# The integral of f over pieces, each to 1e-11.
pieces <- function(f, ends) {
    sum(mapply(function(a, b) integrate(f, a, b, rel.tol = 1e-11, abs.tol = 0, subdivisions = 2000, stop.on.error = FALSE)$value,
               head(ends, -1), ends[-1]))
}

# E g(t s), over x = log s.
overScale <- function(g, t, df, decay) {
    if (is.na(df)) return(g(t))
    f <- function(x) {
        density <- 2 * exp(df / 2 * log(df / 2) - lgamma(df / 2) + df * x - df * exp(2 * x) / 2)
        density * vapply(t * exp(x), g, 0)
    }
    peak <- 0.5 * log(df / (df + 2 * decay * t^2))
    w <- 1 / sqrt(2 * df)
    pieces(f, c(peak - 36 / df - 8 * w, peak - 4 * w, peak - w, peak, peak + w, peak + 4 * w, max(peak + 4 * w, 0) + 9 * w))
}

rangeTail <- function(k) function(w) {
    f <- function(z) {
        b <- pnorm(z - w) / pnorm(z)
        k * dnorm(z) * pnorm(z)^(k - 1) * -expm1((k - 1) * log1p(-b))
    }
    pieces(f, c(w / 2 - 9, w / 2 - 3, w / 2, w / 2 + 3, w / 2 + 9))
}

range <- character(0)
for (k in c(2, 3, 4, 10, 100)) for (df in c(1, 5, 12.3, NA)) for (q in c(0.7, 3, 4.5, 10)) {
    p <- overScale(rangeTail(k), q, df, 0.25)
    range <- c(range, sprintf("%d,%s,%.12g,%.12g,%.12g", k, if (is.na(df)) "NA" else format(df), q, p,
                              ptukey(q, k, if (is.na(df)) Inf else df, lower.tail = FALSE)))
}

productTail <- function(l) {
    r <- sqrt(1 - l^2)
    function(w) {
        f <- function(z) {
            outside <- 0
            for (i in seq_along(l)) {
                c <- pnorm((l[i] * z - w) / r[i]) + pnorm((-l[i] * z - w) / r[i])
                outside <- outside + log1p(-pmin(c, 1))
            }
            -expm1(outside) * dnorm(z)
        }
        top <- max(abs(l)) * w
        2 * pieces(f, sort(c(0, 1, top, top + 3, top + 10)))
    }
}

largest <- character(0)
row <- function(R, df, t, p, how) {
    entry <- function(i, j) if (i <= nrow(R)) sprintf("%.17g", R[i, j]) else "NA"
    cells <- unlist(lapply(2:5, function(i) vapply(1:(i - 1), function(j) entry(i, j), "")))
    paste(c(nrow(R), cells, if (is.na(df)) "NA" else format(df), t, sprintf("%.12g", p), how), collapse = ",")
}
products <- list(c(0.7, 0.7), c(0.9, -0.3), c(0.5, 0.6, 0.8), c(0.99, 0.7, 0.2), c(0.7, 0.72, 0.69, 0.75),
                 c(0.2, 0.9, -0.5, 0, 0.6))
for (l in products) for (df in c(1.5, 7.3, NA)) for (t in c(0.5, 2.2, 5)) {
    R <- outer(l, l)
    diag(R) <- 1
    largest <- c(largest, row(R, df, t, overScale(productTail(l), t, df, 0.5), "product"))
}
for (d in 4:5) {
    # Correlations near a half, as in a design with missing visits, and scattered ones.
    i <- outer(seq_len(d), seq_len(d), function(i, j) i * j * 3 + i + j)
    near <- 0.5 + 0.03 * sin(i)
    far <- 0.3 + 0.25 * sin(i)
    for (R in list(near, far)) {
        diag(R) <- 1
        for (t in c(1, 2.2, 3.5)) {
            p <- 1 - pmvnorm(rep(-t, d), rep(t, d), corr = R, algorithm = Miwa(steps = if (d == 4) 1024 else 256))
            largest <- c(largest, row(R, NA, t, as.numeric(p), "general"))
        }
    }
}

write <- function(lines, name) {
    file <- file(file.path(arguments[1], name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("groups,df,q,p,ptukey", range), "studentized_range.csv")
names <- unlist(lapply(2:5, function(i) paste0("r", i, 1:(i - 1))))
write(c(paste(c("size", names, "df,t,p,how"), collapse = ","), largest), "max_abs_t.csv")
