# Rscript tests/reference/sample_studies.R OUTDIR
# Curves, comparisons and index of three invented studies in sample_studies/, each under its plan. The few numbers
# of the plans and the exclusions stand here, so that no JSON package is needed.
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE)))
source(file.path(here, "definitions.R"))
out <- commandArgs(TRUE)
if (length(out) != 1 || !dir.exists(out)) stop("give one folder that exists, to write into")
check_against_fao_1998()

studies <- list(
  list(name = "barley-index", analytes = "glucose", foods = c("glucose-drink", "pearled-porridge", "high-fibre-porridge"),
       comparator = "glucose-drink", reference = "glucose-drink", end = 120,
       measures = "area_positive_incremental", index = TRUE, excluded = character()),
  list(name = "pulse-wafer-crossover", analytes = c("glucose", "insulin"), foods = c("wheat-wafer", "pulse-wafer"),
       comparator = "wheat-wafer", end = 180, measures = c("area_positive_incremental", "peak_rise"), index = FALSE,
       excluded = "11 wheat-wafer 1"),
  list(name = "kelp-barley-crisps", analytes = c("glucose", "insulin"),
       foods = c("glucose-drink", "control-crisp", "low-dose-crisp", "mid-dose-crisp", "high-dose-crisp"),
       comparator = "control-crisp", reference = "glucose-drink", end = 120,
       measures = c("area_positive_incremental", "peak_rise"), index = TRUE, excluded = "09 mid-dose-crisp 1"))

limits <- list(glucose = 7.8, insulin = 200)  # of time above the limit; not in the plans
all_curves <- all_comparisons <- all_index <- NULL
for (study in studies) {
  samples <- read_samples(file.path(here, "..", "..", "sample_studies", study$name, "samples.csv"))
  for (analyte in study$analytes) {
    rows <- list()
    for (subject in sort(unique(samples$subject))) for (food in study$foods) {
      for (visit in sort(unique(samples$visit[samples$subject == subject & samples$food == food]))) {
        d <- samples[samples$subject == subject & samples$food == food & samples$visit == visit &
                       !is.na(samples[[analyte]]), ]
        w <- window_points(d$time_min, d[[analyte]], study$end, "fasting-mean")
        rows[[length(rows) + 1]] <- data.frame(
          study = study$name, analyte = analyte, subject = subject, food = food, visit = visit, samples = nrow(d),
          excluded = paste(subject, food, visit) %in% study$excluded,
          baseline = baseline_of(d$time_min, d[[analyte]], "fasting-mean"), t(measures_of(w, limits[[analyte]])))
      }
    }
    curves <- do.call(rbind, rows)
    all_curves <- rbind(all_curves, curves)
    tests <- setdiff(study$foods, study$comparator)
    for (measure in study$measures) {
      all_comparisons <- rbind(all_comparisons, data.frame(
        study = study$name, analyte = analyte, comparisons_of(curves, tests, study$comparator, measure, 0.05)))
    }
    if (study$index) for (food in setdiff(study$foods, study$reference)) {
      all_index <- rbind(all_index, data.frame(
        study = study$name, analyte = analyte, measure = study$measures[1],
        index_of(curves, food, study$reference, study$measures[1], 0.05)))
    }
  }
}
write_table(all_curves, file.path(out, "sample_studies_curves.csv"))
write_table(all_comparisons, file.path(out, "sample_studies_comparisons.csv"))
write_table(all_index, file.path(out, "sample_studies_index.csv"))
