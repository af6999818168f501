# ---- Portions: what they hold, their match, servings for an intake of fibre ---------------------------------------

matchTolerance <- plannedNumber("match_tolerance_percent")
fibreTarget <- plannedNumber("fibre_target_g")
composed <- c("available_carbohydrate_g", "energy_kj", "protein_g", "fat_g", "sugars_g", "starch_g",
              "resistant_starch_g", "slowly_digestible_starch_g", "fibre_g")
held <- lapply(stats::setNames(nm = c("portion_g", "serving_g", composed)), function(key) numbers(foods[[key]]))
finiteOnly <- function(x) if (length(x) == 1 && is.finite(x)) x else NA_real_
quotient <- function(x, by) if (is.na(by) || by <= 0) NA_real_ else finiteOnly(x / by)
# The limit itself counts; rounding of a decimal does not turn the answer.
within <- function(percent, tolerance) abs(percent) <= tolerance + 1e-9 * (1 + tolerance)
matchOf <- function(food, other) {
    difference <- finiteOnly(food - other)
    percent <- if (is.na(other) || other <= 0) NA_real_ else finiteOnly(100 * (food - other) / other)
    word <- if (is.na(food) || is.na(other)) {
        "not known"
    } else if (other <= 0) {
        if (food == other) "matched" else "not matched"
    } else if (!is.na(percent) && within(percent, matchTolerance)) {
        "matched"
    } else {
        "not matched"
    }
    list(difference = difference, percent = percent, word = word)
}
noMatch <- list(difference = NA_real_, percent = NA_real_, word = "")
portionEnergy <- function(f) finiteOnly(17 * held$available_carbohydrate_g[f] + 17 * held$protein_g[f] +
                                        37 * held$fat_g[f] + 8 * held$fibre_g[f])

for (f in seq_len(nrow(foods))) {
    h <- lapply(held, function(x) x[f])
    computed <- portionEnergy(f)
    energy <- if (is.na(h$energy_kj)) computed else h$energy_kj
    perServing <- function(amount) quotient(amount * h$serving_g, h$portion_g)
    toComparator <- if (comparator > 0 && f != comparator) {
        matchOf(h$available_carbohydrate_g, held$available_carbohydrate_g[comparator])
    } else {
        noMatch
    }
    toReference <- if (reference > 0 && f != reference) {
        matchOf(h$available_carbohydrate_g, held$available_carbohydrate_g[reference])
    } else {
        noMatch
    }
    fibreDifference <- NA_real_
    energyDifference <- NA_real_
    if (comparator > 0 && f != comparator) {
        fibreDifference <- finiteOnly(h$fibre_g - held$fibre_g[comparator])
        stated <- held$energy_kj[comparator]
        energyDifference <- if (!is.na(h$energy_kj) && !is.na(stated)) {
            finiteOnly(h$energy_kj - stated)
        } else {
            finiteOnly(computed - portionEnergy(comparator))
        }
    }
    put("portions",
        c(portion_g = h$portion_g, serving_g = h$serving_g, available_carbohydrate_g = h$available_carbohydrate_g,
          fibre_g = h$fibre_g, protein_g = h$protein_g, fat_g = h$fat_g, energy_kj = h$energy_kj,
          energy_from_macronutrients_kj = computed,
          energy_difference_percent = if (is.na(h$energy_kj)) NA_real_ else quotient(100 * (h$energy_kj - computed), computed),
          serving_available_carbohydrate_g = perServing(h$available_carbohydrate_g),
          serving_fibre_g = perServing(h$fibre_g), serving_energy_kj = perServing(energy),
          portion_for_50_g = quotient(h$portion_g * 50, h$available_carbohydrate_g),
          portion_for_25_g = quotient(h$portion_g * 25, h$available_carbohydrate_g),
          comparator_difference_g = toComparator$difference,
          comparator_difference_percent = toComparator$percent,
          reference_difference_g = toReference$difference, reference_difference_percent = toReference$percent,
          fibre_difference_g = fibreDifference, energy_difference_kj = energyDifference,
          resistant_starch_share_percent = quotient(100 * h$resistant_starch_g, h$starch_g)),
        c(comparator_match = toComparator$word, reference_match = toReference$word), food = f,
        noise = c(energy_difference_percent = 1e-12, energy_difference_kj = 1e-12 * largestOf(computed, held$energy_kj)))
    if (!is.na(fibreTarget) && !is.na(h$fibre_g)) {
        fibre <- perServing(h$fibre_g)
        exact <- quotient(fibreTarget, fibre)
        whole <- if (is.na(exact)) {
            NA_real_
        } else {
            max(1, if (exact - floor(exact) <= 1e-9 * exact) floor(exact) else floor(exact) + 1)
        }
        eaten <- finiteOnly(whole * perServing(energy))
        put("servings",
            c(fibre_target_g = fibreTarget, serving_g = h$serving_g, serving_fibre_g = fibre, exact = exact,
              whole = whole, grams = finiteOnly(whole * h$serving_g),
              available_carbohydrate_g = finiteOnly(whole * perServing(h$available_carbohydrate_g)),
              energy_kj = eaten),
            c(energy_from = if (is.na(eaten)) "" else if (is.na(h$energy_kj)) "macronutrients" else "stated"), food = f)
    }
    for (key in c(composed, "energy_from_macronutrients_kj")) {
        amount <- if (key == "energy_from_macronutrients_kj") computed else h[[key]]
        if (!is.na(amount)) {
            put("composition",
                c(per_portion = amount, per_100_g = quotient(amount * 100, h$portion_g), per_serving = perServing(amount)),
                food = f, item = key)
        }
    }
}

