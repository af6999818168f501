# Reads one file with data.table (texts, one thread and all) or readxl (workbooks), where they are installed.
# Usage: Rscript intake_compare.R FILE THREADS; prints name, seconds, CPU seconds, peak MB.
arguments <- commandArgs(trailingOnly = TRUE)
path <- arguments[1]
threads <- as.integer(arguments[2])
if (grepl("\\.xlsx$", path)) {
    name <- "readxl::read_xlsx"
    read <- function() readxl::read_xlsx(path)
    suppressPackageStartupMessages(loadNamespace("readxl"))
} else {
    name <- sprintf("data.table::fread, %d thread%s", threads, if (threads == 1) "" else "s")
    suppressPackageStartupMessages(loadNamespace("data.table"))
    data.table::setDTthreads(threads)
    read <- function() data.table::fread(path, showProgress = FALSE)
}
took <- system.time(table <- read())
stopifnot(ncol(table) == 6, nrow(table) > 0)
status <- readLines("/proc/self/status")
peak <- as.numeric(gsub("[^0-9]", "", grep("^VmHWM", status, value = TRUE))) * 1024 / 1e6
cat(sprintf("%s\t%.3f\t%.3f\t%.0f\t%d rows\n", name, took[["elapsed"]], took[["user.self"]] + took[["sys.self"]],
            peak, nrow(table)))
