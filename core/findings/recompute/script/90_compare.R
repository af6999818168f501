
# ---- Reported against recomputed ----------------------------------------------------------------------------------

gather <- function(name) unlist(lapply(recomputed$parts, function(part) part[[name]]), use.names = FALSE)
got <- data.frame(key = gather("key"), value = gather("value"), word = gather("word"), tolerance = gather("tolerance"),
                  noise = gather("noise"), because = gather("because"), stringsAsFactors = FALSE)
wanted <- keyOf(reported$table, counts(reported$analyte_no), reported$measure, counts(reported$food_no),
                counts(reported$comparator_no), counts(reported$subject_no), counts(reported$visit), reported$item,
                reported$quantity)
place <- match(wanted, got$key)
value <- numbers(reported$value)
again <- got$value[place]
isWord <- !is.na(got$word[place])
wordAgain <- got$word[place]
wordAgain[!isWord] <- ""

noHint <- is.na(place)
notRecomputed <- noHint | (got$because[place] != "" & is.na(again) & !isWord)
absent <- !nzchar(reported$value) & !nzchar(reported$text)
difference <- abs(value - again)
larger <- pmax(abs(value), abs(again))
close <- value == again | difference <= got$tolerance[place] * larger + got$noise[place] + smallest
agrees <- ifelse(isWord, reported$text == wordAgain & !nzchar(reported$value),
          ifelse(absent, is.na(again), !is.na(value) & !is.na(again) & close))
agrees[is.na(agrees)] <- FALSE
agrees[notRecomputed] <- FALSE
# A number that this script has and the report has not.
unreported <- which(!got$key %in% wanted & (!is.na(got$value) | (!is.na(got$word) & got$word != "")))

# Text of a person is printed with its control characters shown.
printable <- function(text) {
    text <- sub("^'([=+@'\t\r-])", "\\1", text, useBytes = TRUE)
    vapply(text, function(x) tryCatch(encodeString(x), error = function(e) "(not printable)"), "", USE.NAMES = FALSE)
}
shown <- function(number, word, isWord) {
    text <- ifelse(is.na(number), "absent", format(number, digits = 12, trim = TRUE))
    text[!is.na(number)] <- vapply(number[!is.na(number)], function(x) format(x, digits = 12), "")
    ifelse(isWord & nzchar(word), word, text)
}
relative <- ifelse(isWord | absent | is.na(again), "", formatC(ifelse(difference == 0 | value == again, 0, difference / larger),
                                                               digits = 2, width = 1, format = "g"))
verdict <- ifelse(notRecomputed, "not recomputed", ifelse(agrees, "yes", "NO"))
cat("id\ttable\trow\tquantity\treported\trecomputed\trelative_difference\tagrees\n")
lines <- paste(reported$id, reported$table, printable(reported$row), reported$quantity,
               shown(value, printable(reported$text), nzchar(reported$text)),
               ifelse(notRecomputed, "", shown(again, wordAgain, isWord)), ifelse(notRecomputed, "", relative), verdict,
               sep = "\t")
cat(lines, sep = "\n", append = FALSE)
for (k in unreported) {
    cat("\t", got$key[k], "\t\t\tnot reported\t", shown(got$value[k], got$word[k], !is.na(got$word[k])), "\t\tNO\n", sep = "")
}

disagreeing <- sum(verdict == "NO") + length(unreported)
cat("\n", length(verdict), " numbers reported: ", sum(verdict == "yes"), " agree, ", disagreeing, " do not, ",
    sum(notRecomputed), " not recomputed\n", sep = "")
if (any(notRecomputed)) {
    reasons <- ifelse(noHint, "this script has no computation of it", got$because[place])[notRecomputed]
    for (reason in unique(reasons)) {
        of <- notRecomputed
        of[notRecomputed] <- reasons == reason
        cat("not recomputed: ", sum(of), " of ", paste(unique(reported$table[of]), collapse = ", "), ": ", reason, "\n", sep = "")
    }
}
cat("tolerance: ", closedForm, " relative for formulas, ", iterative, " for mixed models; rounding noise beside it\n", sep = "")
quit(save = "no", status = if (disagreeing > 0) 1 else 0)
