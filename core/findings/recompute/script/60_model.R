
# ---- Mixed model: value = food + period + sequence + u(subject) + e, by REML ---------------------------------------
# With H = I + lambda 11' for each subject and n its rows, H^-1 = (within subjects) + mean/(1 + lambda n). All sums
# below keep both parts apart, so that a large lambda costs no digits.

inSubjects <- function(x, subject) {
    x <- as.matrix(x)
    n <- tabulate(subject)
    total <- rowsum(x, subject)
    list(within = x - (total / n)[subject, , drop = FALSE], total = total, n = n, subject = subject)
}

# a' H^-1 b of two such parts, and what the derivatives need: weight multiplies the part between subjects.
between <- function(a, b, weight) crossprod(a$total, b$total * (weight / a$n))
forms <- function(a, b, weight) crossprod(a$within, b$within) + between(a, b, weight)

# Solves with a symmetric positive matrix whose directions may differ much in size.
solved <- function(a, b) {
    s <- 1 / sqrt(diag(a))
    s * solve(a * outer(s, s), s * b, tol = 0)
}

remlAt <- function(lambda, x, r) {
    w <- 1 / (1 + lambda * x$n)
    information <- forms(x, x, w)
    coefficients <- solved(information, forms(x, r, w))
    e <- list(within = r$within - x$within %*% coefficients, total = r$total - x$total %*% coefficients, n = x$n,
              subject = x$subject)
    squares <- drop(forms(e, e, w))
    freedom <- nrow(x$within) - ncol(x$within)
    logDet <- as.numeric(determinant(information)$modulus)
    slope <- sum(w * x$n) - sum(diag(solved(information, between(x, x, w^2 * x$n)))) -
        freedom * sum((w * e$total)^2) / squares
    list(w = w, information = information, coefficients = coefficients, e = e, squares = squares, freedom = freedom,
         profile = freedom * log(squares / freedom) - sum(log(w)) + logDet, slope = slope)
}

# The lambda of the lowest minimum from 0 to 1e18; NA where the profile falls without end.
bestLambda <- function(x, r) {
    slope <- function(lambda) remlAt(lambda, x, r)$slope
    grid <- c(0, 10^seq(-6, 18, by = 0.5))
    slopes <- vapply(grid, slope, 0)
    found <- if (slopes[1] >= 0) 0 else numeric(0)
    for (i in which(slopes[-length(grid)] < 0 & slopes[-1] >= 0)) {
        found <- c(found, if (i == 1) uniroot(slope, grid[1:2], tol = 1e-18, maxiter = 500)$root
                          else exp(uniroot(function(l) slope(exp(l)), log(grid[i + 0:1]), tol = 1e-14, maxiter = 500)$root))
    }
    heights <- vapply(found, function(l) remlAt(l, x, r)$profile, 0)
    last <- length(grid)
    if (slopes[last] < 0 && (length(found) == 0 || remlAt(grid[last], x, r)$profile < min(heights))) {
        return(NA_real_)
    }
    best <- found[which.min(heights)]
    if (best < 1e-12) 0 else best
}

# The levels of a factor in ascending order; a carry-over of 0 is none.
levelsOf <- function(factors, k) {
    used <- sort(unique(factors[[k]]))
    if (names(factors)[k] == "carry-over") used[used > 0] else used
}

# Columns of a design in treatment coding; those that earlier ones explain are left out.
designOf <- function(factors) {
    columns <- list(intercept = rep(1, length(factors[[1]])))
    owner <- 0L
    for (k in seq_along(factors)) {
        used <- levelsOf(factors, k)
        for (level in used[-1]) {
            # What is carried over sums to 0: a row without it has none, and the first level is -1 everywhere.
            first <- if (names(factors)[k] == "carry-over") factors[[k]] == used[1] else FALSE
            columns[[paste(names(factors)[k], level)]] <- (factors[[k]] == level) - first
            owner <- c(owner, k)
        }
    }
    all <- do.call(cbind, columns)
    q <- qr(all, tol = 1e-7)
    kept <- sort(q$pivot[seq_len(q$rank)])
    list(all = all, kept = kept, owner = owner, x = all[, kept, drop = FALSE],
         level = c(0L, unlist(lapply(seq_along(factors), function(k) levelsOf(factors, k)[-1]))))
}

# The kept columns turned so that directions that are constant within subjects stand apart: what lambda shrinks and
# what it leaves do not mix. `turn`: kept columns = basis %*% turn.
turned <- function(design, subject) {
    q <- qr.Q(qr(design$x))
    within <- eigen(crossprod(inSubjects(q, subject)$within), symmetric = TRUE)
    basis <- q %*% within$vectors
    parts <- inSubjects(basis, subject)
    constant <- within$values <= 1e-9
    parts$within[, constant] <- 0
    list(basis = basis, turn = crossprod(basis, design$x), parts = parts, withinRank = sum(!constant))
}

# A function of all columns' coefficients in the turned basis; NULL where the data do not determine it.
estimable <- function(design, f) {
    left <- setdiff(seq_along(f), design$kept)
    if (length(left) > 0) {
        implied <- f[design$kept] %*% qr.coef(qr(design$x), design$all[, left, drop = FALSE])
        if (any(abs(implied - f[left]) > 1e-7)) {
            return(NULL)
        }
    }
    solve(t(design$turn), f[design$kept])
}

# The mean of one food: equal weight to the levels of every other factor.
meanFunction <- function(design, factors, food) {
    f <- numeric(ncol(design$all))
    f[1] <- 1
    for (k in seq_along(factors)) {
        own <- design$owner == k
        f[own] <- if (k == 1) as.numeric(design$level[own] == food)
                  else if (names(factors)[k] == "carry-over") 0
                  else 1 / length(unique(factors[[k]]))
    }
    f
}

# Derivatives of X'V^-1X by (residual, subject) variance, and the information about them, at residual variance 1.
derivativesOf <- function(fit, x, sigma2) {
    w <- fit$w
    n <- x$n
    W <- crossprod(x$within)
    C <- solved(fit$information, diag(nrow(fit$information)))
    P <- list(-(W + between(x, x, w^2)), -between(x, x, w^2 * n))
    Q <- list(list(W + between(x, x, w^3), between(x, x, w^3 * n)),
              list(between(x, x, w^3 * n), between(x, x, w^3 * n^2)))
    trace <- matrix(c(sum(n - 1 + w^2), sum(w^2 * n), sum(w^2 * n), sum(w^2 * n^2)), 2)
    expected <- observed <- matrix(0, 2, 2)
    # V_i V^-1 r: as it is, and summed over the subject.
    e <- fit$e
    spread <- list(list(within = e$within, total = e$total * w, n = n),
                   list(within = 0 * e$within, total = e$total * w * n, n = n))
    for (i in 1:2) {
        for (j in 1:2) {
            expected[i, j] <- trace[i, j] - 2 * sum(diag(C %*% Q[[i]][[j]])) + sum(diag(C %*% P[[i]] %*% C %*% P[[j]]))
            quadratic <- forms(spread[[i]], spread[[j]], w) -
                crossprod(forms(x, spread[[i]], w), C %*% forms(x, spread[[j]], w))
            observed[i, j] <- 2 * drop(quadratic) / sigma2 - expected[i, j]
        }
    }
    list(C = C, P = P, Q = Q, expected = expected, observed = observed)
}

inverse2 <- function(m) {
    determinant <- m[1, 1] * m[2, 2] - m[1, 2] * m[2, 1]
    if (!isTRUE(m[1, 1] > 0 && m[2, 2] > 0 && determinant > 1e-14 * m[1, 1] * m[2, 2])) {
        return(NULL)
    }
    matrix(c(m[2, 2], -m[2, 1], -m[1, 2], m[1, 1]), 2) / determinant
}

# Covariance of the coefficients (residual variance 1) and df of functions of them, by the plan's method.
inferenceOf <- function(fit, d, lambda, method) {
    boundary <- lambda == 0
    kr <- method == "kenward-roger"
    if (!kr && boundary) {
        return(list(cov = d$C, df = function(L) fit$freedom, kr = FALSE))
    }
    inverse <- inverse2(if (kr) d$expected else d$observed)
    if (is.null(inverse)) {
        return(NULL)
    }
    A <- 2 * inverse
    if (!kr) {
        df <- function(L) {
            v <- drop(L %*% d$C %*% L)
            g <- vapply(1:2, function(i) -drop(L %*% d$C %*% d$P[[i]] %*% d$C %*% L), 0)
            2 * v^2 / drop(g %*% A %*% g)
        }
        return(list(cov = d$C, df = df, kr = FALSE, A = A))
    }
    total <- 0
    for (i in 1:2) {
        for (j in 1:2) {
            total <- total + A[i, j] * (d$Q[[i]][[j]] - d$P[[i]] %*% d$C %*% d$P[[j]])
        }
    }
    inference <- list(cov = d$C + 2 * d$C %*% total %*% d$C, kr = TRUE, A = A)
    inference$df <- function(L) kenwardRoger(rbind(L), d, A)$df
    inference
}

# Kenward & Roger 1997, section 3: scale and df of F for the rows of L.
kenwardRoger <- function(L, d, A) {
    q <- nrow(L)
    M <- solve(L %*% d$C %*% t(L))
    u <- lapply(d$P, function(P) M %*% (L %*% d$C %*% P %*% d$C %*% t(L)))
    a1 <- a2 <- 0
    for (i in 1:2) {
        for (j in 1:2) {
            a1 <- a1 + A[i, j] * sum(diag(u[[i]])) * sum(diag(u[[j]]))
            a2 <- a2 + A[i, j] * sum(diag(u[[i]] %*% u[[j]]))
        }
    }
    if (q == 1) {
        return(list(df = 2 / a2, scale = 1))
    }
    b <- (a1 + 6 * a2) / (2 * q)
    g <- ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2)
    divisor <- 3 * q + 2 * (1 - g)
    v0 <- 1 + g / divisor * b
    v1 <- 1 - (q - g) / divisor * b
    v2 <- 1 - (q + 2 - g) / divisor * b
    e <- 1 - a2 / q
    ratio <- if (abs(e) < 1e-14 && abs(v1) < 1e-14) 1 else e / v1
    rho <- ratio^2 * (if (abs(v0) < 1e-10) 0 else v0) / v2 / q
    df <- 4 + (q + 2) / (q * rho - 1)
    list(df = df, scale = if (abs(df - 2) < 0.01) 1 else df * e / (df - 2))
}

# F of the hypothesis that the rows of L are 0.
testOf <- function(L, beta, inference, d, sigma2) {
    q <- nrow(L)
    V <- L %*% inference$cov %*% t(L)
    if (inference$kr) {
        match <- kenwardRoger(L, d, inference$A)
        return(c(f = match$scale * drop(crossprod(L %*% beta, solve(V, L %*% beta))) / sigma2 / q, df = match$df))
    }
    turn <- eigen(V, symmetric = TRUE)
    along <- crossprod(turn$vectors, L)
    df <- apply(along, 1, inference$df)
    joint <- if (q == 1 || max(df) - min(df) < 1e-8) {
        mean(df)
    } else if (min(df) <= 2) {
        2
    } else {
        e <- sum(df / (df - 2))
        2 * e / (e - q)
    }
    c(f = sum(drop(along %*% beta)^2 / turn$values) / sigma2 / q, df = joint)
}

# The columns of one factor when it enters last.
lastContrasts <- function(design, k) {
    order <- c(which(design$owner != k), which(design$owner == k))
    q <- qr(design$all[, order, drop = FALSE], tol = 1e-7)
    kept <- order[sort(q$pivot[seq_len(q$rank)])]
    own <- which(design$owner[kept] == k)
    if (length(own) == 0) {
        return(NULL)
    }
    toKept <- solve(qr.coef(qr(design$x), design$all[, kept, drop = FALSE]))
    toKept[own, , drop = FALSE] %*% solve(design$turn)
}
