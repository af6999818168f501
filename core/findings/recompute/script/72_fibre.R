
# ---- Fibre: determinations, the definition, labels ----------------------------------------------------------------

fibreSettings <- readFile("fibre_settings.csv")
fibreRule <- readFile("fibre_rule.csv")
fibreMethods <- readFile("fibre_methods.csv")
fibreRows <- readFile("fibre_results.csv")
recipes <- readFile("recipes.csv")
recipeParts <- readFile("recipe_parts.csv")
fibreSetting <- function(key) fibreSettings$value[fibreSettings$key == key]
fibreAsked <- fibreSetting("rule") == "yes"
wantedFibre <- numbers(fibreSetting("target_g"))
fibreParts <- c("insoluble", "soluble-high", "soluble-low", "rs1", "rs2", "rs3", "rs4", "fructans")
fibreIncluded <- fibreRule$part[fibreRule$kind == "includes"]
thresholds <- fibreRule[fibreRule$kind == "threshold", ]
roundingSteps <- fibreRule[fibreRule$kind == "rounding", ]
gives <- function(m, fraction) fraction %in% strsplit(fibreMethods$fractions[m], " ", fixed = TRUE)[[1]]
inFibreTable <- fibreMethods$in_table == "yes"
# One total measures wholly all that the definition includes.
measuresAll <- function(m) {
    fibreAsked && inFibreTable[m] && gives(m, "total") && all(unlist(fibreMethods[m, fibreIncluded]) == "yes")
}
if (nrow(fibreRows) > 0) {
    for (m in which(inFibreTable)) {
        put("fibre_methods", words = c(suits = if (!fibreAsked) "" else if (measuresAll(m)) "yes" else "no"), item = m)
    }
}

# Determinations of one fraction of one material by one method in one laboratory, in the order of the first that
# counts; a result all of whose determinations are excluded has no number.
fibreRows$value <- numbers(fibreRows$value)
moisture <- numbers(fibreRows$moisture_percent)
ofDry <- fibreRows$basis == "dry"
fibreRows$asIs <- ifelse(ofDry, fibreRows$value * (100 - moisture) / 100, fibreRows$value)
fibreRows$dry <- ifelse(ofDry, fibreRows$value, ifelse(!is.na(moisture) & moisture < 100, fibreRows$value * 100 / (100 - moisture), NA))
fibreGroup <- paste(fibreRows$material_no, fibreRows$method_no, fibreRows$fraction, fibreRows$laboratory_no)
# The mean of all that have a value, where each can be told on this basis.
meanOfAll <- function(x) if (length(x) == 0 || anyNA(x)) NA_real_ else meanOf(x)
fibreCounts <- fibreRows$excluded == "no"
fibreOrder <- order(!fibreCounts)
fibreOrder <- fibreOrder[match(unique(fibreGroup), fibreGroup[fibreOrder])]
fibreResults <- lapply(fibreGroup[sort(fibreOrder)], function(g) {
    rows <- fibreRows[fibreGroup == g & fibreCounts & !is.na(fibreRows$value), ]
    first <- fibreRows[match(g, fibreGroup), ]
    dryOnly <- anyNA(rows$asIs) && !anyNA(rows$dry)
    list(material = counts(first$material_no), method = counts(first$method_no), fraction = first$fraction,
         laboratory = counts(first$laboratory_no), food = counts(first$food_no), n = nrow(rows),
         counts = any(fibreGroup == g & fibreCounts),
         asIs = meanOfAll(rows$asIs), dry = meanOfAll(rows$dry), dryOnly = dryOnly,
         spread = if (dryOnly) rows$dry else if (anyNA(rows$asIs)) numeric(0) else rows$asIs)
})

# The limits of two determinations, 2.8 s_r, and where their difference lies.
repeatabilityOf <- function(r) {
    none <- list(limits = c(NA_real_, NA_real_), word = "not judged")
    if (length(r$spread) != 2) {
        return(none)
    }
    of <- function(key) numbers(fibreMethods[[key]][r$method])
    own <- of("own_sr_g")
    sr <- c(own, own)
    if (is.na(own)) {
        if (!inFibreTable[r$method] || !r$fraction %in% c("total", "resistant-starch") || !gives(r$method, r$fraction)) {
            return(none)
        }
        sr <- c(of("sr_low_g"), of("sr_high_g"))
        if (anyNA(sr)) {
            sr <- c(of("sr_low_percent"), of("sr_high_percent")) * mean(r$spread) / 100
        }
        if (anyNA(sr)) {
            return(none)
        }
    }
    limits <- 2.8 * sr
    range <- abs(diff(r$spread))
    list(limits = limits,
         word = if (within(range, limits[1])) "within" else if (within(range, limits[2])) "between" else "beyond")
}

servingOf <- function(f) if (f > 0) held$serving_g[f] else NA_real_
for (k in seq_along(fibreResults)) {
    r <- fibreResults[[k]]
    several <- length(r$spread) > 1
    judged <- repeatabilityOf(r)
    put("fibre_results",
        c(n = r$n, as_is_g_per_100_g = r$asIs, dry_g_per_100_g = r$dry, sd_g = sdOf(r$spread),
          cv_percent = if (several && mean(r$spread) > 0) 100 * sdOf(r$spread) / mean(r$spread) else NA,
          range_g = if (several) diff(range(r$spread)) else NA, limit_low_g = judged$limits[1],
          limit_high_g = judged$limits[2], per_serving_g = r$asIs * servingOf(r$food) / 100),
        c(spread_on = if (length(r$spread) == 0) "" else if (r$dryOnly) "dry" else "as-is", repeatability = judged$word),
        item = k, noise = c(sd_g = 1e-13, range_g = 1e-13, cv_percent = 1e-11) * largestOf(1, r$spread))
}

# Results of one material that do not say the same.
mostDisagreements <- 200
largeDifference <- function(x) max(0.5, 0.05 * x)
putDisagreements <- function() {
    done <- 0
    putOne <- function(i, j, difference) {
        put("fibre_disagreements", c(difference_g = difference), item = paste(i, j, sep = "/"), noise = 1e-12)
        done <<- done + 1
    }
    fractions <- vapply(fibreResults, function(r) r$fraction, "")
    for (i in which(fractions == "total")) {
        a <- fibreResults[[i]]
        if (done >= mostDisagreements || !inFibreTable[a$method]) {
            next
        }
        # A total and the sum of its fractions.
        if (gives(a$method, "insoluble") && gives(a$method, "soluble-high")) {
            parts <- setdiff(strsplit(fibreMethods$fractions[a$method], " ", fixed = TRUE)[[1]], "total")
            at <- vapply(parts, function(p) {
                fits <- vapply(fibreResults, function(b) {
                    b$material == a$material && b$method == a$method && b$laboratory == a$laboratory && b$fraction == p
                }, TRUE)
                which(fits)[1]
            }, 0L)
            sum <- if (anyNA(at)) NA else plainSum(vapply(fibreResults[at], function(b) b$asIs, 0))
            if (!is.na(sum) && !is.na(a$asIs) && abs(a$asIs - sum) > largeDifference(a$asIs)) {
                putOne(i, at[length(at)], a$asIs - sum)
            }
        }
        for (j in setdiff(seq_along(fibreResults), i)) {
            b <- fibreResults[[j]]
            starch <- b$fraction == "resistant-starch"
            totals <- j > i && b$fraction == "total" && b$method != a$method
            if (done >= mostDisagreements || b$material != a$material || !(starch || totals)) {
                next
            }
            both <- if (!is.na(a$asIs) && !is.na(b$asIs)) c(a$asIs, b$asIs) else c(a$dry, b$dry)
            if (anyNA(both)) {
                next
            }
            if (if (starch) both[2] > 0 else inFibreTable[b$method] && abs(diff(both)) > largeDifference(max(both))) {
                putOne(i, j, both[1] - both[2])
            }
        }
    }
}
putDisagreements()

# Amounts of fibre in 100 g, in 100 kcal and in a serving.
amountsOf <- function(fibre, energy, serving) {
    c("100 g" = fibre, "100 kcal" = if (is.na(energy) || energy <= 0) NA_real_ else finiteOnly(fibre * 100 / (energy / 4.184)),
      serving = finiteOnly(fibre * serving / 100))
}
answerOf <- function(statement, amounts) {
    of <- thresholds[counts(thresholds$statement_no) == statement, ]
    met <- amounts[of$per] >= numbers(of$g) * (1 - 1e-9)
    if (any(met, na.rm = TRUE)) "met by the numbers" else if (anyNA(met)) "not known" else "not met by the numbers"
}

# The amount as the steps of the rule declare it.
stepOf <- function(grams) {
    from <- numbers(roundingSteps$g)
    reach <- 1e-9 * (1 + from)
    max(0, which(ifelse(roundingSteps$above == "yes", grams > from + reach, grams >= from - reach)))
}
toMultiple <- function(x, step) floor(x / step + 0.5 + 1e-9) * step
declaredBy <- function(grams, step) {
    nearest <- numbers(roundingSteps$nearest_g[step])
    if (nearest > 0) {
        decimals <- 0
        while (decimals < 9 && abs(nearest * 10^decimals - round(nearest * 10^decimals)) > 1e-9 * nearest) {
            decimals <- decimals + 1
        }
        return(c(toMultiple(grams, nearest), decimals))
    }
    if (grams <= 0) {
        return(c(0, 0))
    }
    decimalsFor <- function(x) counts(roundingSteps$figures[step]) - 1 - floor(log10(x) + 1e-9)
    rounded <- toMultiple(grams, 10^-decimalsFor(grams))
    c(rounded, min(9, max(0, decimalsFor(rounded))))
}
labelOf <- function(grams) {
    step <- if (is.na(grams) || grams < 0) 0 else stepOf(grams)
    if (step == 0) {
        return("")
    }
    if (nzchar(roundingSteps$words[step])) {
        return(roundingSteps$words[step])
    }
    written <- declaredBy(grams, step)
    reached <- stepOf(written[1])
    if (reached > step && !nzchar(roundingSteps$words[reached])) {
        written <- declaredBy(written[1], reached)
    }
    paste(formatC(written[1], format = "f", digits = written[2]), "g")
}

labels <- 0
putLabel <- function(fibre, energy, serving) {
    if (!fibreAsked) {
        return(invisible())
    }
    labels <<- labels + 1
    amounts <- amountsOf(fibre, energy, serving)
    labelled <- amounts[[fibreSetting("label_per")]]
    put("fibre_statements",
        c(fibre_g_per_100_g = fibre, energy_kj_per_100_g = energy, serving_g = serving,
          fibre_g_per_100_kcal = amounts[["100 kcal"]], fibre_g_per_serving = amounts[["serving"]], labelled_g = labelled),
        c(label = labelOf(labelled)), item = labels)
    for (statement in sort(unique(counts(thresholds$statement_no)))) {
        put("fibre_statements", words = c(answer = answerOf(statement, amounts)), item = paste(labels, statement, sep = "/"))
    }
}
for (r in fibreResults) {
    if (r$fraction == "total" && r$counts) {
        f <- r$food
        energy <- if (f == 0) NA_real_ else if (is.na(held$energy_kj[f])) portionEnergy(f) else held$energy_kj[f]
        putLabel(r$asIs, if (f == 0) NA_real_ else quotient(energy * 100, held$portion_g[f]), servingOf(f))
    }
}

# ---- Recipes before and after a replacement -----------------------------------------------------------------------

for (column in c("recipe_no", "material_no")) {
    recipeParts[[column]] <- counts(recipeParts[[column]])
}
recipeAmounts <- c("fibre_g", "available_carbohydrate_g", "protein_g", "fat_g", "water_g")
for (column in c("mass_g", recipeAmounts)) {
    recipeParts[[column]] <- numbers(recipeParts[[column]])
}
# The one total of a material, as it is, that a part can take.
determinedFibre <- function(material) {
    of <- Filter(function(r) r$material == material && r$fraction == "total" && !is.na(r$asIs), fibreResults)
    if (length(of) > 1) {
        of <- Filter(function(r) measuresAll(r$method), of)
    }
    if (length(of) == 1) of[[1]]$asIs else NA_real_
}
for (i in which(is.na(recipeParts$fibre_g))) {
    recipeParts$fibre_g[i] <- determinedFibre(recipeParts$material_no[i])
}

putRecipe <- function(item, parts, baked, serving) {
    raw <- plainSum(parts$mass_g)
    product <- if (raw <= 0) NA_real_ else if (is.na(baked)) raw else if (baked > 0) baked else NA_real_
    used <- parts[parts$mass_g > 0, ]
    total <- vapply(recipeAmounts, function(key) {
        if (nrow(used) == 0) NA_real_ else plainSum(used$mass_g * used[[key]] / 100)
    }, 0)
    lost <- if (is.na(product)) 0 else raw - product
    left <- total[["water_g"]] - lost
    total["water_g"] <- if (is.na(left) || left < -1e-9 * (1 + total[["water_g"]])) NA_real_ else max(0, left)
    total["energy_kj"] <- 17 * total["available_carbohydrate_g"] + 17 * total["protein_g"] + 37 * total["fat_g"] +
        8 * total["fibre_g"]
    eaten <- if (serving > 0) serving else NA_real_
    hundred <- setNames(100 * total / product, paste0(names(total), "_per_100_g"))
    each <- setNames(total * eaten / product, paste0(names(total), "_per_serving"))
    exact <- if (is.na(wantedFibre)) NA_real_ else quotient(wantedFibre, each[["fibre_g_per_serving"]])
    whole <- if (is.na(exact)) NA_real_ else max(1, if (exact - floor(exact) <= 1e-9 * exact) floor(exact) else floor(exact) + 1)
    size <- 1e-12 * largestOf(1, raw)
    put("recipes",
        c(raw_g = raw, product_g = product, loss_percent = 100 * (raw - product) / raw, serving_g = eaten, total, hundred,
          each, target_g = wantedFibre, servings = exact, whole_servings = whole),
        item = item, noise = c(loss_percent = 1e-11, water_g = size, water_g_per_100_g = size, water_g_per_serving = size))
    c(hundred[["fibre_g_per_100_g"]], hundred[["energy_kj_per_100_g"]], eaten)
}

for (r in seq_len(nrow(recipes))) {
    parts <- recipeParts[recipeParts$recipe_no == r, ]
    baked <- numbers(recipes$baked_mass_g[r])
    serving <- numbers(recipes$serving_g[r])
    holds <- putRecipe(paste0(r, "/before"), parts, baked, serving)
    putLabel(holds[1], holds[2], holds[3])
    from <- match(counts(recipes$replaced_no[r]), parts$material_no)
    to <- match(counts(recipes$by_no[r]), parts$material_no)
    if (!is.na(from) && !is.na(to) && from != to) {
        moved <- parts$mass_g[from] * numbers(recipes$replaced_share[r])
        parts$mass_g[from] <- parts$mass_g[from] - moved
        parts$mass_g[to] <- parts$mass_g[to] + moved
        holds <- putRecipe(paste0(r, "/after"), parts, baked, serving)
        putLabel(holds[1], holds[2], holds[3])
    }
}
