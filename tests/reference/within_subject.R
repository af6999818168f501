# Rscript tests/reference/within_subject.R OUTDIR
# Spread within and between subjects: base R's aov(value ~ subject) gives the mean squares; the variance between
# subjects is the moment estimate of the unbalanced one-way random model. The values are invented, seed 66.
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "definitions.R"))
out <- commandArgs(TRUE)
if (length(out) != 1 || !dir.exists(out)) stop("give one folder that exists, to write into")

suppressWarnings(RNGversion("3.6.0"))
set.seed(66)
draw <- function(counts, between, within, mean) {
  subject <- rep(sprintf("%02d", seq_along(counts)), counts)
  data.frame(subject = subject,
             value = round(mean + rep(rnorm(length(counts), 0, between), counts) + rnorm(sum(counts), 0, within), 3))
}
cases <- list("balanced-two" = draw(rep(2, 10), 40, 25, 200), "balanced-three" = draw(rep(3, 12), 30, 30, 150),
              "unbalanced" = draw(c(1, 3, 2, 2, 1, 4, 3, 2), 60, 20, 250),
              "one-repeats" = draw(c(1, 1, 1, 2, 1), 30, 30, 180),
              "wide-within" = draw(rep(2, 6), 0, 40, 300), "negative-mean" = draw(c(2, 3, 2), 20, 10, -5),
              "small" = transform(draw(c(2, 3, 3, 2), 3, 1, 20), value = value / 1e6),
              "large-mean" = draw(c(3, 3, 2, 2), 2, 1, 1e5))

expected <- do.call(rbind, lapply(names(cases), function(name) {
  d <- cases[[name]]
  d$subject <- factor(d$subject)
  k <- table(d$subject)
  squares <- summary(aov(value ~ subject, d))[[1]][, "Mean Sq"]
  df <- sum(k) - length(k)
  effective <- (sum(k) - sum(k^2) / sum(k)) / (length(k) - 1)
  between <- max(0, (squares[1] - squares[2]) / effective)
  again <- droplevels(d[d$subject %in% names(k)[k > 1], ])
  cv <- 100 * tapply(again$value, again$subject, sd) / tapply(again$value, again$subject, mean)
  if (any(tapply(again$value, again$subject, mean) <= 0)) cv <- NA_real_
  data.frame(case = name, subjects = length(k), repeated = sum(k > 1), visits = sum(k[k > 1]), df = df,
             within_sd = sqrt(squares[2]), cv_rms_percent = sqrt(mean(cv^2)), cv_mean_percent = mean(cv),
             between_sd = sqrt(between), intraclass = between / (between + squares[2]),
             repeatability_limit = 1.96 * sqrt(2) * sqrt(squares[2]))
}))
write_table(do.call(rbind, lapply(names(cases), function(name) data.frame(case = name, cases[[name]]))),
            file.path(out, "within_subject_cases.csv"))
write_table(expected, file.path(out, "within_subject_expected.csv"))

# The three standards of FAO 1998, Table 1 (areas exact from the concentrations).
fao <- c(113.95, 155.25, 179 + 1 / 6)
stopifnot(abs(sd(fao) - 32.992197) < 5e-7, abs(100 * sd(fao) / mean(fao) - 22.0749) < 5e-5)
