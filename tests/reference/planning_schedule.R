# Randomisation schedules drawn anew, for tests/core/planning/schedule_test.cpp.
#   Rscript tests/reference/planning_schedule.R OUTDIR        (from the root of the sources)
# writes planning_schedule.csv. Base R only: the squares of Williams from their definition, the program's own
# random numbers by philox.R, the Fisher-Yates walk in each block.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript planning_schedule.R OUTDIR")
source("tests/reference/philox.R")

stream <- function(seed, purpose, low, high) {
    words <- numeric(0)
    block <- 0
    function(bound) repeat {
        if (length(words) == 0) {
            words <<- philox(cbind(block, purpose, low, high), c(seed %% word32, seed %/% word32))[1, ]
            block <<- block + 1
        }
        product <- words[1] * bound
        words <<- words[-1]
        if (product %% word32 >= word32 %% bound) return(product %/% word32)
    }
}
williams <- function(k) {
    first <- 0
    for (i in seq_len(k - 1)) first <- c(first, if (i %% 2 == 1) (i + 1) / 2 else k - i / 2)
    square <- t(sapply(0:(k - 1), function(i) (first + i) %% k))
    if (k %% 2 == 1) rbind(square, square[, k:1]) else square
}
cyclic <- function(k) t(sapply(0:(k - 1), function(i) (0:(k - 1) + i) %% k))
permutations <- function(items) {
    if (length(items) == 1) return(matrix(items, 1))
    do.call(rbind, lapply(items, function(x) cbind(x, permutations(items[items != x]))))
}
rows <- character(0)
draw <- function(case, design, k, strata, block, seed) {
    square <- switch(design, williams = williams(k), cyclic = cyclic(k), permutations = permutations(0:(k - 1)))
    for (s in seq_along(strata)) {
        left <- strata[s]
        number <- 0
        while (left > 0) {
            below <- stream(seed, 16, number, s - 1)
            places <- rep(seq_len(nrow(square)), block / nrow(square))
            for (last in block:2) {
                other <- below(last) + 1
                places[c(last, other)] <- places[c(other, last)]
            }
            for (place in places[seq_len(min(block, left))])
                rows[length(rows) + 1] <<- paste(case, design, k, block, seed, s, number + 1,
                    paste(LETTERS[square[place, ] + 1], collapse = ""), sep = ",")
            left <- left - block
            number <- number + 1
        }
    }
}
draw(1, "williams", 3, 24, 6, 7)
draw(2, "williams", 4, c(12, 9), 8, 4294967299)
draw(3, "cyclic", 5, c(10, 5, 15), 5, 1)
draw(4, "permutations", 4, 48, 24, 20260302)
draw(5, "williams", 2, c(30, 31), 4, 99)
draw(6, "williams", 7, 28, 14, 12345678901)
file <- file(file.path(arguments[1], "planning_schedule.csv"), open = "wb")
writeLines(c("case,design,foods,block,seed,stratum,number,sequence", rows), file, sep = "\n")
close(file)
