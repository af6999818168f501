# Philox4x32-10 (Salmon et al. 2011) in base R, for the scripts that repeat what the program draws. 32-bit words
# are doubles; products are formed from 16-bit halves, so that nothing is rounded. Vectorised over counters.

word32 <- 4294967296
xor32 <- function(a, b) {
    halves <- function(x) list(high = as.integer(x %/% 65536), low = as.integer(x %% 65536))
    x <- halves(a)
    y <- halves(b)
    bitwXor(x$high, y$high) * 65536 + bitwXor(x$low, y$low)
}
multiply32 <- function(a, b) {
    a1 <- a %/% 65536; a0 <- a %% 65536
    b1 <- b %/% 65536; b0 <- b %% 65536
    middle <- a1 * b0 + (a0 * b0) %/% 65536
    carried <- a0 * b1 + middle %% 65536
    list(high = a1 * b1 + middle %/% 65536 + carried %/% 65536,
         low = (carried %% 65536) * 65536 + (a0 * b0) %% 65536)
}
# counter: matrix of 4 columns, key: 2 numbers.
philox <- function(counter, key) {
    n <- nrow(counter)
    for (round in 1:10) {
        first <- multiply32(rep(3528531795, n), counter[, 1])   # 0xD2511F53
        second <- multiply32(rep(3449720151, n), counter[, 3])  # 0xCD9E8D57
        counter <- cbind(xor32(xor32(second$high, counter[, 2]), rep(key[1], n)), second$low,
                         xor32(xor32(first$high, counter[, 4]), rep(key[2], n)), first$low)
        key <- (key + c(2654435769, 3144134277)) %% word32      # 0x9E3779B9, 0xBB67AE85
    }
    counter
}
# The first known-answer vector of the authors: all zero.
stopifnot(philox(matrix(0, 1, 4), c(0, 0)) == c(0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8))

# Word j (from 1) of replicates 0 ... replicates - 1: one row a replicate.
replicateWords <- function(words, replicates, purpose, seed) {
    blocks <- ceiling(words / 4)
    drawn <- lapply(seq_len(blocks) - 1, function(block) {
        philox(cbind(block, purpose, seq_len(replicates) - 1, 0), c(seed %% word32, seed %/% word32))
    })
    do.call(cbind, drawn)[, seq_len(words), drop = FALSE]
}
