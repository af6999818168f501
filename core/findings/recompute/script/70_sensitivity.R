
# ---- The comparison under other choices ---------------------------------------------------------------------------

gridMeasures <- c(mainMeasure, setdiff(areaNames, mainMeasure))
gridRows <- list()

putSetting <- function(k) {
    state <- settings$exclusions[k]
    end <- numbers(settings$window_end_min[k])
    rule <- settings$baseline[k]
    unusable <- if (state == "applied") curves$unusable else curves$unusable_ignoring_exclusions
    table <- curveTable(seriesOf(state), end, rule, unusable)
    counted <- counting(table, state)
    changed <- (rule != baselineRule) + (end != windowEnd) + (state != "applied")
    for (a in seq_len(nrow(analytes))) {
        for (f in setdiff(seq_len(nrow(foods)), comparator)) {
            for (measure in gridMeasures) {
                pairs <- pairsOf(table, counted, a, f, measure)
                t <- pairedT(pairs$d, pairs$size)
                hl <- hodgesLehmann(pairs$d)
                rank <- signedRank(pairs$d, pairs$size)
                changes <- changed + (measure != mainMeasure)
                inSd <- function(x) if (is.na(t[["sd_difference"]]) || t[["sd_difference"]] == 0) NA else finite(x / t[["sd_difference"]])
                noise <- noiseOfT(t, pairs$size)
                put("sensitivity",
                    c(changes = changes, n = length(pairs$d), t[c("mean_difference", "ci_low", "ci_high", "p")],
                      hodges_lehmann = if (is.null(hl)) NA else hl$estimate, wilcoxon_p = rank$p,
                      standardised = inSd(t[["mean_difference"]]), standardised_low = inSd(t[["ci_low"]]),
                      standardised_high = inSd(t[["ci_high"]])),
                    analyte = a, measure = measure, food = f, comparator = comparator, item = k, noise = noise,
                    because = if (is.null(hl)) paste("more than", mostWalsh, "pairs") else "")
                gridRows[[length(gridRows) + 1]] <<- c(a = a, f = f, changes = changes, p = t[["p"]],
                                                       mean = t[["mean_difference"]], rank = rank$p)
            }
        }
    }
}

for (k in seq_len(nrow(settings))) {
    putSetting(k)
}
if (length(gridRows) > 0) {
    gridRows <- do.call(rbind, gridRows)
    for (a in seq_len(nrow(analytes))) {
        for (f in setdiff(seq_len(nrow(foods)), comparator)) {
            of <- gridRows[gridRows[, "a"] == a & gridRows[, "f"] == f, , drop = FALSE]
            asPlanned <- of[of[, "changes"] == 0, ][c("p", "mean")]
            tested <- !is.na(of[, "p"])
            ranked <- !is.na(of[, "rank"])
            below <- asPlanned[["p"]] < alpha
            put("sensitivity_count",
                c(ways = nrow(of), tested = sum(tested),
                  same_direction = if (is.na(below)) 0 else sum(sign(of[tested, "mean"]) == sign(asPlanned[["mean"]])),
                  same_side_of_alpha = if (is.na(below)) 0 else sum((of[tested, "p"] < alpha) == below),
                  rank_tested = sum(ranked),
                  rank_same_side_of_alpha = if (is.na(below)) 0 else sum((of[ranked, "rank"] < alpha) == below)),
                analyte = a, food = f, comparator = comparator)
        }
    }
}
