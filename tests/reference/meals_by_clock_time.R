# Rscript tests/reference/meals_by_clock_time.R OUTDIR
# Measures of the 36 curves in meals_by_clock_time/ and the paired comparison of each meal with the one at 10 am.
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "definitions.R"))
out <- commandArgs(TRUE)
if (length(out) != 1 || !dir.exists(out)) stop("give one folder that exists, to write into")
check_against_fao_1998()

samples <- read_samples(file.path(here, "meals_by_clock_time", "samples.csv"))
foods <- unique(samples$food)
subjects <- unique(samples$subject)
rows <- list()
for (end in c(120, 180)) for (rule in c("fasting-mean", "time-zero")) for (subject in subjects) for (food in foods) {
  d <- samples[samples$subject == subject & samples$food == food & !is.na(samples$glucose), ]
  w <- window_points(d$time_min, d$glucose, end, rule)
  rows[[length(rows) + 1]] <- data.frame(
    subject = subject, food = food, window_end_min = end, baseline_rule = rule,
    baseline = baseline_of(d$time_min, d$glucose, rule), t(measures_of(w, 5.5)))
}
curves <- do.call(rbind, rows)
write_table(curves, file.path(out, "meals_by_clock_time_curves.csv"))

main <- curves[curves$window_end_min == 120 & curves$baseline_rule == "fasting-mean", ]
main$excluded <- FALSE
tests <- setdiff(foods, "meal-10am")
comparisons <- rbind(comparisons_of(main, tests, "meal-10am", "area_positive_incremental", 0.05),
                     comparisons_of(main, tests, "meal-10am", "peak_rise", 0.05))
write_table(comparisons, file.path(out, "meals_by_clock_time_comparisons.csv"))
