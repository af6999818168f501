
# ---- Index: other ways, outlier rules, pairs, portions, meals -----------------------------------------------------

indexFoods <- readFile("index_foods.csv")
mealParts <- readFile("meal_parts.csv")
foodCarbohydrate <- numbers(indexFoods$available_carbohydrate_g)
foodPortion <- numbers(indexFoods$portion_g)
foodServing <- numbers(indexFoods$serving_g)
referenceFactor <- plannedNumber("reference_factor")
matchTolerance <- plannedNumber("match_tolerance_percent")
glucoseNo <- counts(planned("glucose_no"))
isStandardArea <- mainMeasure == areaNames[1]

# Index of each subject, with the two means that it is made of; what the plan's rule leaves out.
subjectIndices <- function(a, f) {
    test <- subjectVisits(mainTable, mainCounts, a, f, mainMeasure)
    ref <- subjectVisits(mainTable, mainCounts, a, reference, mainMeasure)
    value <- vapply(seq_along(test), function(s) subjectIndex(test[[s]], ref[[s]]), 0)
    rule <- applyOutlierRule(value, planned("index_outlier_rule"))
    list(value = value, kept = !is.na(value) & !rule$leftOut,
         test = vapply(test, meanOf, 0), ref = vapply(ref, meanOf, 0))
}

covarianceTerm <- function(x, y) {
    if (length(x) == 0) {
        return(NA_real_)
    }
    sx <- scaleOf(x)
    sy <- scaleOf(y)
    r <- (x / sx) / (y / sy)
    below <- y / sy
    finite(100 * mean((r - mean(r)) * (below - mean(below))) / mean(below) * (sx / sy))
}

putIndexWays <- function(a, f, s) {
    v <- s$value[s$kept]
    x <- s$test[s$kept]
    y <- s$ref[s$kept]
    n <- length(v)
    size <- largestOf(v)
    t <- pairedT(v, size)
    ratio <- ratioOfMeans(x, y, pairedT(x - y, largestOf(x, y)))
    means <- 100 * ratio$numbers[["estimate"]]
    term <- covarianceTerm(x, y)
    here <- function(item, estimate, low, high, term = NA_real_, set = "", because = "") {
        put("index_ways",
            c(n = n, estimate = estimate, ci_low = low, ci_high = high, difference = estimate - t[["mean_difference"]],
              covariance_term = term),
            c(set = set), a, mainMeasure, f, reference, item = item, because = because,
            noise = c(estimate = 1e-12 * size, ci_low = 1e-11 * size, ci_high = 1e-11 * size, difference = 1e-11 * size,
                      covariance_term = 1e-11 * size))
    }
    resampled <- function(item, result, estimate, factor, term = NA_real_) {
        # What is absent in one is absent in both; without its numbers the reason stands for the interval alone.
        if (is.null(result)) {
            here(item, estimate, NA_real_, NA_real_, term, because = tooMany)
        } else {
            here(item, estimate, factor * result[[paste0(sub(".*_", "", item), "_low")]],
                 factor * result[[paste0(sub(".*_", "", item), "_high")]], term)
        }
    }
    here("mean_of_ratios", t[["mean_difference"]], t[["ci_low"]], t[["ci_high"]])
    ofMean <- bootstrapMean(v, size)
    resampled("mean_of_ratios_bca", ofMean, t[["mean_difference"]], 1)
    resampled("mean_of_ratios_percentile", ofMean, t[["mean_difference"]], 1)
    here("ratio_of_means", means, 100 * ratio$numbers[["low"]], 100 * ratio$numbers[["high"]], term,
         if (ratio$set == "halfLine") "half-line" else if (ratio$set == "wholeLine") "whole-line" else
             if (ratio$set == "none") "" else ratio$set)
    ofRatio <- if (ratio$usable) bootstrapRatio(x, y, ratio$proportional) else noBootstrap
    resampled("ratio_of_means_bca", ofRatio, means, 100, term)
    resampled("ratio_of_means_percentile", ofRatio, means, 100, term)
    logs <- logRatio(x, y)
    here("geometric_mean", 100 * logs[["estimate"]], 100 * logs[["ci_low"]], 100 * logs[["ci_high"]])
    order <- signTest(v, size)
    here("median", order[["estimate"]], order[["ci_low"]], order[["ci_high"]])
}

putIndexOutliers <- function(a, f, s) {
    for (rule in c("none", "2sd-once", "2sd-repeated")) {
        result <- applyOutlierRule(s$value, rule)
        kept <- s$value[!is.na(s$value) & !result$leftOut]
        t <- pairedT(kept, largestOf(kept))
        hasClass <- a == glucoseNo && isStandardArea && length(kept) > 0
        put("index_outliers",
            c(n = length(kept), passes = result$passes, mean = t[["mean_difference"]], sd = t[["sd_difference"]],
              sem = t[["sem_difference"]], ci_low = t[["ci_low"]], ci_high = t[["ci_high"]]),
            c(class = if (hasClass) classOf(t[["mean_difference"]], planned("index_standard")) else ""),
            a, mainMeasure, f, reference, item = rule, noise = 1e-12 * largestOf(kept))
    }
}

putIndexPairs <- function(a, others, indices) {
    pairs <- list()
    add <- function(i, j) {
        one <- indices[[i]]
        isReference <- is.na(j)
        second <- if (isReference) rep(100, length(one$value)) else indices[[j]]$value
        both <- which(one$kept & (if (isReference) TRUE else indices[[j]]$kept))
        pairs[[length(pairs) + 1]] <<- list(
            food = others[i], comparator = if (isReference) reference else others[j], subject = both,
            x = one$value[both], y = second[both], d = one$value[both] - second[both],
            size = largestOf(one$value[both], second[both]))
    }
    k <- length(others)
    for (i in seq_len(k)) {
        for (j in seq_len(k)) {
            if (j > i) {
                add(i, j)
            }
        }
    }
    for (i in seq_len(k)) {
        add(i, NA)
    }
    tests <- lapply(pairs, function(x) pairedT(x$d, x$size))
    adjusted <- adjustedP(vapply(tests, function(t) t[["p"]], 0), planned("multiplicity"))
    for (i in seq_along(pairs)) {
        pair <- pairs[[i]]
        t <- tests[[i]]
        noise <- 10 * noiseOfT(t, pair$size)
        rank <- signedRank(pair$d, pair$size)
        hl <- hodgesLehmann(pair$d)
        put("index_pairs",
            c(t[c("n", "mean_difference", "sd_difference", "ci_low", "ci_high", "t", "df", "p")],
              p_adjusted = adjusted[i], wilcoxon_v = rank$v, wilcoxon_p = rank$p,
              effect_dz = effectSize(pair$d, pair$size)[["effect_dz"]]),
            character(0), a, mainMeasure, pair$food, pair$comparator, noise = noise)
        ends <- c(hodges_lehmann = NA_real_, hodges_lehmann_ci_low = NA, hodges_lehmann_ci_high = NA)
        if (!is.null(hl)) {
            ends[] <- c(hl$estimate, hl$low, hl$high)
        }
        put("index_pairs", ends, character(0), a, mainMeasure, pair$food, pair$comparator, noise = noise,
            because = if (is.null(hl)) paste("more than", mostWalsh, "pairs: all pairwise means do not fit into memory") else "")
        for (s in seq_len(nrow(subjects))) {
            at <- match(s, pair$subject)
            put("index_pair_subjects",
                c(food_index = pair$x[at], comparator_index = pair$y[at], difference = pair$d[at]),
                character(0), a, mainMeasure, pair$food, pair$comparator, s, noise = noise[["difference"]])
        }
    }
}

ends3 <- function(estimate, low, high) {
    if (is.na(estimate) || is.na(low) || is.na(high)) c(estimate, NA, NA) else c(estimate, low, high)
}
nothing3 <- c(NA_real_, NA_real_, NA_real_)
times3 <- function(x, factor) {
    y <- finite(x * factor)
    ends3(y[1], y[2], y[3])
}

# The index of one portion on the glucose scale; what the meals read.
portionOf <- function(a, f, s) {
    v <- s$value[s$kept]
    t <- pairedT(v, largestOf(v))
    number <- c(t[["mean_difference"]], t[["ci_low"]], t[["ci_high"]])
    own <- foodCarbohydrate[f]
    other <- foodCarbohydrate[reference]
    mismatch <- if (isTRUE(own > 0) && isTRUE(other > 0)) finite(100 * ((own - other) / other)) else NA_real_
    matched <- if (is.na(mismatch)) NA else abs(mismatch) <= matchTolerance + 1e-9
    isIndex <- is.na(matched) || matched
    scaled <- if (isIndex && a == glucoseNo) times3(number, referenceFactor) else nothing3
    load <- if (is.na(own)) nothing3 else times3(scaled, own / 100)
    hasServing <- !is.na(own) && !is.na(foodServing[f]) && isTRUE(foodPortion[f] > 0)
    serving <- if (hasServing) times3(scaled, own * (foodServing[f] / foodPortion[f]) / 100) else nothing3
    list(n = length(v), number = number, size = largestOf(v), mismatch = mismatch, matched = matched, isIndex = isIndex,
         scaled = scaled, load = load, serving = serving)
}

putPortion <- function(a, f, p) {
    names3 <- function(x, name, ends) stats::setNames(x, c(name, paste0(ends, "ci_low"), paste0(ends, "ci_high")))
    hasClass <- !is.na(p$scaled[1]) && isStandardArea
    put("index_portions",
        c(n = p$n, names3(if (p$isIndex) p$number else nothing3, "index", ""),
          factor = if (p$isIndex && a == glucoseNo) referenceFactor else NA_real_,
          names3(p$scaled, "glucose_scale", "glucose_scale_"), carbohydrate_g = foodCarbohydrate[f],
          mismatch_percent = p$mismatch, names3(p$load, "load", "load_"), serving_g = foodServing[f],
          names3(p$serving, "serving_load", "serving_load_"),
          names3(if (p$isIndex) nothing3 else p$number, "relative_response", "relative_response_")),
        c(class = if (hasClass) classOf(p$scaled[1], planned("index_standard")) else "",
          matched = if (is.na(p$matched)) "" else if (p$matched) "yes" else "no"),
        a, mainMeasure, f, reference, noise = 1e-12 * p$size)
}

putMeal <- function(f, portion) {
    of <- which(counts(mealParts$food_no) == f)
    g <- numbers(mealParts$carbohydrate_g[of])
    index <- numbers(mealParts$index[of])
    bread <- if (referenceFactor != 1) referenceFactor else 0.70
    factor <- ifelse(mealParts$scale[of] == "white-bread", bread, 1)
    share <- g / sum(g)
    predicted <- NA_real_
    if (all(is.finite(g)) && all(is.finite(index)) && all(g >= 0) && all(index >= 0) && sum(g) > 0) {
        predicted <- finite(sum(share * index * factor))
    }
    known <- !is.na(predicted)
    total <- if (known) sum(g) else NA_real_
    own <- foodCarbohydrate[f]
    observed <- if (is.null(portion)) nothing3 else portion$scaled
    holds <- if (known && !anyNA(observed)) (if (observed[2] <= predicted && predicted <= observed[3]) "yes" else "no") else ""
    put("meals",
        c(parts_carbohydrate_g = total, carbohydrate_g = own,
          mismatch_percent = if (known && isTRUE(own > 0)) finite(100 * ((total - own) / own)) else NA_real_,
          predicted = predicted, predicted_load = predicted * total / 100, n = if (is.null(portion)) 0 else portion$n,
          observed = observed[1], ci_low = observed[2], ci_high = observed[3], difference = observed[1] - predicted),
        c(holds = holds), food = f, noise = 1e-11 * max(100, if (is.null(portion)) 0 else portion$size))
    for (i in seq_along(of)) {
        hidden <- if (known) 1 else NA_real_
        put("meal_parts",
            c(carbohydrate_g = g[i], index = index[i], proportion = hidden * share[i], factor = hidden * factor[i],
              glucose_scale = hidden * index[i] * factor[i], contribution = hidden * share[i] * index[i] * factor[i]),
            character(0), food = f, item = counts(mealParts$part_no)[of[i]])
    }
}

putIndexDetails <- function() {
    others <- setdiff(seq_len(nrow(foods)), reference)
    glucosePortions <- list()
    for (a in seq_len(nrow(analytes))) {
        indices <- lapply(others, function(f) subjectIndices(a, f))
        for (k in seq_along(others)) {
            putIndexWays(a, others[k], indices[[k]])
            putIndexOutliers(a, others[k], indices[[k]])
            portion <- portionOf(a, others[k], indices[[k]])
            putPortion(a, others[k], portion)
            if (a == glucoseNo) {
                glucosePortions[[paste(others[k])]] <- portion
            }
        }
        putIndexPairs(a, others, indices)
    }
    for (f in sort(unique(counts(mealParts$food_no)))) {
        putMeal(f, glucosePortions[[paste(f)]])
    }
}

if (planned("index") == "yes" && reference > 0) {
    putIndexDetails()
}
