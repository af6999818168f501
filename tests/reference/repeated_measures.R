# Rscript tests/reference/repeated_measures.R OUTDIR
# Two-way repeated measures tables (food x time within subjects): aov() with Error(), and mauchly.test and anova.mlm
# (test = "Spherical") for sphericity and the corrections of Greenhouse & Geisser and of Huynh & Feldt. 120 invented
# studies (seed below), some with incomplete subjects, which are left out whole, and the data set Glucose of the R package
# nlme. Base R alone. Run it from the root of the sources.
arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript repeated_measures.R OUTDIR")
outDir <- arguments[1]
set.seed(20261126, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

makeStudy <- function(i) {
    foods <- 2 + i %% 3
    times <- 2 + (i %/% 3) %% 4
    # Every fourth has too few subjects for Mauchly's test of the interaction.
    n <- if (i %% 4 == 0) sample(3:6, 1) else sample(((foods - 1) * (times - 1) + 2):((foods - 1) * (times - 1) + 12), 1)
    n <- max(n, 3)
    rows <- expand.grid(time = 15 * seq_len(times), food = seq_len(foods), subject = seq_len(n))
    scale <- sample(c(1, 30, 1e-3), 1)
    # Neighbouring times go together, and later ones vary more.
    drift <- ave(rnorm(nrow(rows)), rows$subject, rows$food, FUN = cumsum)
    value <- 5 + rnorm(n)[rows$subject] + 0.2 * rows$food * rows$time / 30 + drift * sample(c(0, 0.5, 1), 1) +
        rnorm(nrow(rows)) + rnorm(n * foods)[(rows$subject - 1) * foods + rows$food]
    rows$value <- as.numeric(sprintf("%.6g", scale * value))
    if (i %% 5 == 0) rows <- rows[-sample(nrow(rows), 2), ]
    list(name = sprintf("invented-%03d", i), rows = rows)
}
studies <- lapply(seq_len(120), makeStudy)
clock <- read.csv("tests/reference/meals_by_clock_time/samples.csv")
clock <- clock[clock$time_min > 0 & clock$time_min <= 360 & !is.na(clock$glucose), ]
all <- data.frame(time = clock$time_min, food = match(clock$food, unique(clock$food)),
                  subject = as.integer(clock$subject), value = clock$glucose)
studies <- c(studies, list(list(name = "clock-time-180", rows = all[all$time <= 180, ]),
                           # Two of the six subjects lack a sample here.
                           list(name = "clock-time-360", rows = all)))

text <- function(x) ifelse(is.na(x), "NA", if (is.numeric(x)) sprintf("%.13g", x) else as.character(x))
rowsOf <- function(...) do.call(paste, c(lapply(list(...), text), sep = ","))
data <- terms <- character(0)
for (study in studies) {
    d <- study$rows
    data <- c(data, rowsOf(study$name, d$subject, d$food, d$time, d$value))
    cells <- nrow(unique(d[c("food", "time")]))
    complete <- names(which(table(d$subject) == cells))
    d <- d[d$subject %in% complete, ]
    d <- d[order(d$subject, d$food, d$time), ]
    n <- length(complete)
    if (n < 2) next
    d$subjectF <- factor(d$subject)
    d$foodF <- factor(d$food)
    d$timeF <- factor(d$time)
    table <- summary(aov(value ~ foodF * timeF + Error(subjectF / (foodF * timeF)), d))
    wide <- matrix(d$value, nrow = n, byrow = TRUE)
    idata <- d[d$subject == d$subject[1], c("foodF", "timeF")]
    fit <- lm(wide ~ 1)
    spaces <- list(food = list("subjectF:foodF", ~ foodF, ~ 1), time = list("subjectF:timeF", ~ timeF, ~ 1),
                   `food x time` = list("subjectF:foodF:timeF", ~ foodF * timeF, ~ foodF + timeF))
    for (term in names(spaces)) {
        s <- spaces[[term]]
        # Sums of squares and F by aov.
        stratum <- table[[paste("Error:", s[[1]])]][[1]]
        df <- stratum[["Df"]]
        # F and the corrected p by anova.mlm; the epsilons in full by the function it calls. R's epsilon of Huynh & Feldt
        # is that of 1976; for one group Lecoutre's of 1991 is the same.
        sphere <- anova(fit, X = s[[3]], M = s[[2]], idata = idata, test = "Spherical")
        stopifnot(abs(sphere$F[1] - stratum[["F value"]][1]) < 1e-6 * sphere$F[1])
        epsilon <- stats:::sphericity(SSD(fit), X = s[[3]], M = s[[2]], idata = idata)
        # mauchly.test of the contrasts themselves: with X and M the second term of its p counts all columns.
        w <- pW <- NA
        if (df[1] > 1 && n - 1 >= df[1]) {
            X <- model.matrix(s[[3]], idata)
            M <- model.matrix(s[[2]], idata)
            basis <- qr.Q(qr(cbind(X, M)))[, -seq_len(ncol(X)), drop = FALSE][, seq_len(df[1]), drop = FALSE]
            test <- mauchly.test(lm(wide %*% basis ~ 1))
            stopifnot(abs(test$statistic - mauchly.test(fit, X = s[[3]], M = s[[2]], idata = idata)$statistic) < 1e-8)
            w <- unname(test$statistic)
            pW <- test$p.value
        }
        terms <- c(terms, rowsOf(study$name, term, n, stratum[["Sum Sq"]][1], stratum[["Sum Sq"]][2], df[1], df[2],
                                 stratum[["F value"]][1], stratum[["Pr(>F)"]][1], epsilon$GG.eps, epsilon$HF.eps,
                                 sphere[["G-G Pr"]][1], sphere[["H-F Pr"]][1], w, pW))
    }
}
write <- function(lines, name) {
    file <- file(file.path(outDir, name), open = "wb")
    writeLines(lines, file, sep = "\n")
    close(file)
}
write(c("study,subject,food,time_min,value", data), "repeated_measures_rows.csv")
write(c("study,term,subjects,ss,ss_error,df,df_error,f,p,gg,hf,p_gg,p_hf,mauchly_w,mauchly_p", terms),
      "repeated_measures_terms.csv")
