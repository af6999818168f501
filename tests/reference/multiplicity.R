# Adjusted p of 240 invented families, for tests/core/compare/multiplicity_test.cpp.
#   Rscript tests/reference/multiplicity.R OUTDIR
# writes multiplicity.csv. Base R only (p.adjust). Same script, same bytes. The p are decimals of at most 6
# digits; some are tied, some are NA, which p.adjust leaves out of the number of tests.

arguments <- commandArgs(trailingOnly = TRUE)
if (length(arguments) != 1) stop("usage: Rscript multiplicity.R OUTDIR")
set.seed(20261125, kind = "Mersenne-Twister", normal.kind = "Inversion", sample.kind = "Rejection")

rows <- character(0)
text <- function(x) ifelse(is.na(x), "NA", sprintf("%.13g", x))
for (family in 1:240) {
    m <- if (family <= 20) family else sample(1:25, 1)
    p <- switch(family %% 4 + 1,
                round(runif(m), 6),
                round(runif(m)^4, 6),
                round(runif(m), 1),               # ties, 0 and 1
                sample(c(0.01, 0.02, 0.04, 0.5), m, replace = TRUE))
    if (family %% 3 == 0) p[runif(m) < 0.2] <- NA
    rows <- c(rows, paste(family, text(p), text(p.adjust(p, "holm")), text(p.adjust(p, "hochberg")),
                          text(p.adjust(p, "BH")), sep = ","))
}
file <- file(file.path(arguments[1], "multiplicity.csv"), open = "wb")
writeLines(c("family,p,holm,hochberg,benjamini_hochberg", rows), file, sep = "\n")
close(file)
