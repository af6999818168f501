
# ---- Who was studied: all subjects, and each sequence --------------------------------------------------------------

sexNo <- counts(subjects$sex_no)
ages <- numbers(subjects$age_y)
bodies <- numbers(subjects$bmi_kg_m2)
demographicGroups <- list(all = seq_len(nrow(subjects)))
if (any(subjects$sequence_no > 0)) {
    for (s in c(sort(unique(subjects$sequence_no[subjects$sequence_no > 0])), if (any(subjects$sequence_no == 0)) 0)) {
        demographicGroups[[as.character(s)]] <- which(subjects$sequence_no == s)
    }
}
valuesOf <- function(x) {
    given <- x[!is.na(x)]
    q <- if (length(given) == 0) {
        rep(NA_real_, 5)
    } else {
        quantile(given, c(0.5, 0.25, 0.75, 0, 1), names = FALSE, type = 7)
    }
    c(n = length(given), missing = sum(is.na(x)), mean = meanOf(given), sd = sdOf(given), median = q[1],
      lower_quartile = q[2], upper_quartile = q[3], minimum = q[4], maximum = q[5])
}
if (nrow(subjects) > 0) {
    for (group in names(demographicGroups)) {
        of <- demographicGroups[[group]]
        put("demographics", c(n = length(of), missing = 0, percent = 100 * length(of) / nrow(subjects)),
            item = paste0(group, "/subjects"))
        for (s in seq_len(max(sexNo))) {
            given <- sum(sexNo[of] > 0)
            put("demographics",
                c(n = sum(sexNo[of] == s), missing = sum(sexNo[of] == 0),
                  percent = if (given == 0) NA_real_ else 100 * sum(sexNo[of] == s) / given),
                item = paste0(group, "/sex", s))
        }
        for (key in c("age_y", "bmi_kg_m2")) {
            x <- if (key == "age_y") ages else bodies
            if (any(!is.na(x))) {
                put("demographics", valuesOf(x[of]), item = paste0(group, "/", key), noise = 1e-13 * largestOf(x[of]))
            }
        }
    }
}
