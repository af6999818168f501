# recompute.R: computes the reported numbers of a feeding study again, from samples.csv and plan.csv, and compares.
#
#     Rscript recompute.R          in the folder of this file; needs R 3.6 or later and no package
#
# Prints a line for each reported number: id, what, reported, recomputed, relative difference, agrees. The last lines
# count. Exit status: 0 all that was recomputed agrees, 1 something does not, 2 the files cannot be read.
#
# This text is the same for every study. Data are read as text and numbers only; nothing in them is ever run.
# The definitions are those of the method handbook (docs/methods.md); the code is written from them.
#
# Two numbers agree where |reported - recomputed| <= tolerance * the larger of both + noise. Noise is what the rounding
# of a double can do where large values cancel; it is named where it is not 0. Words and counts must be equal, and what
# is absent in one must be absent in the other.
closedForm <- 1e-8   # tolerance of what a formula gives
iterative <- 1e-5    # tolerance of what a search gives (mixed models; ten times that for the time course)
resolution <- 1e-11  # differences closer than this share of the largest value count as equal (method handbook)
smallest <- 1e-300   # below it a double has few digits left
options(warn = 1, scipen = 0)

folder <- local({
    file <- sub("^--file=", "", grep("^--file=", commandArgs(FALSE), value = TRUE))
    if (length(file) == 0) "." else dirname(gsub("~+~", " ", file[1], fixed = TRUE))
})

# A file as text; "" where a cell is empty.
readFile <- function(name) {
    path <- file.path(folder, name)
    tryCatch(
        read.csv(path, colClasses = "character", na.strings = character(0), check.names = FALSE, encoding = "UTF-8",
                 quote = "\"", comment.char = ""),
        error = function(e) {
            cat("cannot read ", name, ": ", conditionMessage(e), "\n", sep = "")
            quit(save = "no", status = 2)
        })
}

# Numbers of a column; NA where a cell is empty. Base 16 ("0x1.8p+1") is read without rounding.
numbers <- function(text) {
    value <- rep(NA_real_, length(text))
    given <- nzchar(text, keepNA = FALSE)
    value[given] <- as.numeric(text[given])
    value
}

counts <- function(text) {
    value <- numbers(text)
    value[is.na(value)] <- 0
    as.integer(value)
}

planFile <- readFile("plan.csv")
foods <- readFile("foods.csv")
analytes <- readFile("analytes.csv")
subjects <- readFile("subjects.csv")
curves <- readFile("curves.csv")
samples <- readFile("samples.csv")
settings <- readFile("settings.csv")
reported <- readFile("reported.csv")

planned <- function(key) planFile$value[planFile$key == key]
plannedNumber <- function(key) {
    value <- numbers(planned(key))
    if (length(value) == 1) value else NA_real_
}
alpha <- plannedNumber("alpha")
comparator <- counts(planned("comparator_no"))
reference <- counts(planned("index_reference_no"))
comparedMeasures <- planned("compared_measure")
mainMeasure <- planned("measure")

curves$subject_no <- counts(curves$subject_no)
curves$food_no <- counts(curves$food_no)
curves$analyte_no <- counts(curves$analyte_no)
curves$visit_no <- counts(curves$visit)
curves$period_no <- counts(curves$period)
subjects$sequence_no <- counts(subjects$sequence_no)
samples$curve_no <- counts(samples$curve)
samples$time <- numbers(samples$time_min)
samples$scheduled <- numbers(samples$scheduled_min)
samples$number <- numbers(samples$value_exact)

# What was recomputed, by the key of its row. `noise`: by quantity, or one for all.
recomputed <- new.env()
recomputed$parts <- list()
keyOf <- function(table, analyte, measure, food, comparator, subject, visit, item, quantity) {
    paste(table, analyte, measure, food, comparator, subject, visit, item, quantity, sep = "|")
}
put <- function(table, values = numeric(0), words = character(0), analyte = 0L, measure = "", food = 0L,
                comparator = 0L, subject = 0L, visit = 0L, item = "", tolerance = closedForm, noise = 0,
                because = "") {
    quantities <- c(names(values), names(words))
    n <- length(values)
    m <- length(words)
    if (!is.null(names(noise))) {
        noise <- unname(noise[names(values)])
    }
    noise <- rep_len(noise, n)
    noise[is.na(noise)] <- 0
    recomputed$parts[[length(recomputed$parts) + 1L]] <- list(
        key = keyOf(table, analyte, measure, food, comparator, subject, visit, item, quantities),
        value = c(as.numeric(values), rep(NA_real_, m)),
        word = c(rep(NA_character_, n), as.character(words)),
        tolerance = rep(tolerance, n + m),
        noise = c(noise, rep(0, m)),
        because = rep(because, n + m))
}
