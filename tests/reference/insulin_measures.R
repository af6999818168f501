# Measures of insulin action and secretion from their published formulas, for tests/core/index/.
#   Rscript tests/reference/insulin_measures.R OUTDIR
# writes insulin_measures.csv: invented glucose (mmol/L), insulin (uIU/mL) and C-peptide (nmol/L) at 0, 30, 60, 90 and
# 120 min, areas by trapezoids over these times, and each measure. Needs base R only.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript insulin_measures.R OUTDIR")

set.seed(20261128, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")
times <- c(0, 30, 60, 90, 120)
total <- function(v) sum(diff(times) * (head(v, -1) + tail(v, -1)) / 2)
# All invented curves stay at or above their first value, so that this is the positive incremental area.
increment <- function(v) total(v - v[1])
pmol <- 6

rows <- lapply(seq_len(60), function(i) {
    g <- round(runif(1, 4.1, 7.5) + c(0, sort(runif(1, 0.6, 6)), runif(3, 0, 5)), 2)
    insulin <- round(runif(1, 0.8, 25) + c(0, runif(4, 1, 120)), 2)
    peptide <- round(runif(1, 0.2, 1.2) + c(0, runif(4, 0.1, 3)), 3)
    mg <- 18.016 * g
    homa <- g[1] * insulin[1] / 22.5
    early <- (insulin[2] - insulin[1]) / (mg[2] - mg[1])
    whole <- 10000 / sqrt(mg[1] * insulin[1] * mean(mg) * mean(insulin))
    data.frame(
        case = i,
        t(stats::setNames(g, paste0("glucose_", times))), t(stats::setNames(insulin, paste0("insulin_", times))),
        t(stats::setNames(peptide, paste0("c_peptide_", times))),
        glucose_total = total(g), insulin_total = pmol * total(insulin), c_peptide_total = total(peptide),
        glucose_increment = increment(g), insulin_increment = pmol * increment(insulin),
        homa_ir = homa, inverse_homa_ir = 1 / homa, log_homa_ir = log(homa), homa_b = 20 * insulin[1] / (g[1] - 3.5),
        quicki = 1 / log10(insulin[1] * mg[1]), fasting_glucose_insulin_ratio = mg[1] / insulin[1],
        insulinogenic_index = early, insulinogenic_times_inverse_homa = early / homa, whole_body_sensitivity = whole,
        insulinogenic_times_whole_body = early * whole,
        c_peptide_insulin_ratio_fasting = 1000 * peptide[1] / (pmol * insulin[1]),
        c_peptide_insulin_ratio_area = 1000 * total(peptide) / (pmol * total(insulin)),
        c_peptide_increment_index = (peptide[2] - peptide[1]) / (g[2] - g[1]),
        insulin_glucose_area_ratio = pmol * total(insulin) / total(g),
        insulin_glucose_increment_ratio = pmol * increment(insulin) / increment(g))
})
rows <- do.call(rbind, rows)
out <- as.data.frame(lapply(rows, function(x) sprintf("%.13g", x)))
write.table(out, file.path(arguments[1], "insulin_measures.csv"), sep = ",", quote = FALSE, row.names = FALSE)
