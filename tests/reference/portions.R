# What 240 invented portions hold, for tests/core/portion/portions_reference_test.cpp.
#   Rscript tests/reference/portions.R OUTDIR
# writes portions.csv. Base R only. Same script, same bytes. Written from the definitions, in other steps than the
# program's: energy as a matrix product, servings by counting up until the fibre is reached in whole hundredths.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript portions.R OUTDIR")
set.seed(20261125, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

n <- 240
grams <- function(low, high, digits = 2) round(runif(n, low, high), digits)
foods <- data.frame(case = 1:n, portion_g = grams(40, 420, 0), serving_g = grams(15, 90, 0),
                    available_g = grams(5, 75), other_g = grams(5, 75), protein_g = grams(0, 25),
                    fat_g = grams(0, 20), fibre_g = grams(0.1, 18), starch_g = grams(1, 60),
                    resistant_g = grams(0, 12), stated_kj = grams(300, 2200, 0), tolerance = sample(c(0, 5, 10, 25), n, TRUE),
                    target_g = sample(c(10, 25, 30, 38), n, TRUE))
foods$other_g[1:20] <- foods$available_g[1:20]          # equal portions
foods$available_g[21:40] <- round(foods$other_g[21:40] * (1 + foods$tolerance[21:40] / 100), 6)  # on the limit
for (column in c("available_g", "protein_g", "fat_g", "fibre_g")) foods[[column]][sample(41:n, 12)] <- NA

kj <- c(as.matrix(foods[c("available_g", "protein_g", "fat_g", "fibre_g")]) %*% c(17, 17, 37, 8))
off <- (foods$stated_kj / kj - 1) * 100
percent <- (foods$available_g / foods$other_g - 1) * 100
# In whole millionths, so that a limit is met exactly.
millionths <- function(x) round(x * 1e6)
matched <- abs(millionths(foods$available_g) - millionths(foods$other_g)) * 100 <= foods$tolerance * millionths(foods$other_g)
status <- ifelse(is.na(foods$available_g), "not known", ifelse(matched, "matched", "not matched"))
# Servings: smallest k with k * fibre * serving >= target * portion, all in whole numbers.
left <- round(foods$fibre_g * 100) * foods$serving_g
right <- round(foods$target_g * 100) * foods$portion_g
whole <- ifelse(is.na(left), NA, right %/% left + (right %% left > 0))
foods <- cbind(foods, energy_kj = kj, energy_percent = off, kcal = kj / 4.184,
               for_50_g = 50 / (foods$available_g / foods$portion_g), for_25_g = 25 / (foods$available_g / foods$portion_g),
               difference_g = foods$available_g - foods$other_g, difference_percent = percent, status = status,
               share_percent = foods$resistant_g / foods$starch_g * 100,
               fibre_per_100_g = foods$fibre_g / (foods$portion_g / 100),
               fibre_per_serving = foods$fibre_g / foods$portion_g * foods$serving_g,
               exact = right / left, whole = whole, grams = whole * foods$serving_g)
text <- function(x) if (is.character(x)) x else ifelse(is.na(x), "NA", sprintf("%.15g", x))
file <- file(file.path(arguments[1], "portions.csv"), open = "wb")
writeLines(c(paste(names(foods), collapse = ","), do.call(paste, c(lapply(foods, text), sep = ","))), file, sep = "\n")
close(file)
