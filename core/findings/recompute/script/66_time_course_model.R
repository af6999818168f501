
# Mixed model of the time course: y = mean(food, time) + period + u(subject) + v(subject, food) + w(curve) + e, by REML.
# Which of u, v, w are in the model is read off the report; everything else is found here.

mostCurveRows <- 6000

curveDesignOf <- function(a, data) {
    rows <- data$rows
    cells <- unique(rows[order(rows$food, rows$time), c("food", "time")])
    cell <- match(paste(rows$food, rows$time), paste(cells$food, cells$time))
    X <- matrix(0, nrow(rows), nrow(cells))
    X[cbind(seq_len(nrow(rows)), cell)] <- 1
    periods <- if (hasPeriod[a]) sort(unique(rows$period)) else 0
    P <- vapply(periods[-1], function(p) as.numeric(rows$period == p), numeric(nrow(rows)))
    all <- cbind(X, matrix(P, nrow(rows)))
    q <- qr(all, tol = 1e-7)
    kept <- sort(q$pivot[seq_len(q$rank)])
    list(all = all, kept = kept, x = all[, kept, drop = FALSE], cells = cells, periods = length(periods),
         values = tabulate(cell, nrow(cells)))
}

# Function of all columns: a mean of one cell, equal weight to each period.
cellFunction <- function(design, food, time) {
    n <- nrow(design$cells)
    c(as.numeric(design$cells$food == food & design$cells$time == time),
      rep(1 / design$periods, ncol(design$all) - n))
}

# Blocks by subject: rows, and the pattern of each part of the covariance.
curveBlocks <- function(rows, y, X, minutes) {
    lapply(split(seq_len(nrow(rows)), rows$subject), function(i) {
        r <- rows[i, ]
        food <- outer(r$food, r$food, "==")
        curve <- food & outer(r$visit, r$visit, "==")
        list(y = y[i], X = X[i, , drop = FALSE], subject = matrix(1, length(i), length(i)), food = food * 1, curve = curve * 1,
             distance = abs(outer(minutes[r$time], minutes[r$time], "-")))
    })
}

# V and its derivatives by the parameters (v: variances by name, rho).
curveCovariance <- function(block, theta, unit) {
    m <- nrow(block$subject)
    v <- as.list(theta)
    within <- diag(m)
    dWithin <- NULL
    if ("rho" %in% names(theta)) {
        power <- block$distance / unit
        within <- block$curve * ifelse(power == 0, 1, v$rho^power)
        dWithin <- v$residual * block$curve * ifelse(power == 0, 0, power * v$rho^(power - 1))
    }
    parts <- list(subject = block$subject, food = block$food, curve = block$curve, residual = within, rho = dWithin)
    V <- v$residual * within
    for (name in intersect(names(theta), c("subject", "food", "curve"))) {
        V <- V + v[[name]] * parts[[name]]
    }
    list(V = V, d = parts[names(theta)])
}

# -2 log L by REML, its gradient, and what estimates are made of.
curveReml <- function(theta, blocks, unit, gradient = TRUE) {
    p <- ncol(blocks[[1]]$X)
    information <- matrix(0, p, p)
    score <- numeric(p)
    logDet <- 0
    held <- vector("list", length(blocks))
    for (b in seq_along(blocks)) {
        block <- blocks[[b]]
        c <- curveCovariance(block, theta, unit)
        U <- tryCatch(chol(c$V), error = function(e) NULL)
        if (is.null(U)) {
            return(list(value = Inf))
        }
        inverse <- chol2inv(U)
        logDet <- logDet + 2 * sum(log(diag(U)))
        ix <- inverse %*% block$X
        information <- information + crossprod(block$X, ix)
        score <- score + drop(crossprod(ix, block$y))
        held[[b]] <- list(d = c$d, inverse = inverse, ix = ix)
    }
    C <- tryCatch(chol2inv(chol(information)), error = function(e) NULL)
    if (is.null(C)) {
        return(list(value = Inf))
    }
    beta <- drop(C %*% score)
    squares <- 0
    g <- setNames(numeric(length(theta)), names(theta))
    dInformation <- setNames(rep(list(matrix(0, p, p)), length(theta)), names(theta))
    for (b in seq_along(blocks)) {
        block <- blocks[[b]]
        h <- held[[b]]
        r <- block$y - drop(block$X %*% beta)
        e <- drop(h$inverse %*% r)
        squares <- squares + sum(r * e)
        if (gradient) {
            for (name in names(theta)) {
                moved <- h$d[[name]] %*% h$ix
                dInformation[[name]] <- dInformation[[name]] + crossprod(h$ix, moved)
                g[name] <- g[name] + sum(h$inverse * h$d[[name]]) - sum(e * (h$d[[name]] %*% e))
            }
        }
    }
    for (name in names(theta)) {
        g[name] <- g[name] - sum(C * dInformation[[name]])
    }
    n <- sum(vapply(blocks, function(b) length(b$y), 0))
    list(value = logDet + as.numeric(determinant(information)$modulus) + squares + (n - p) * log(2 * pi), gradient = g, C = C,
         beta = beta, dInformation = dInformation)
}

# The lowest -2 log L, from several starts, polished by Newton steps; parameters at 0 are taken as known.
fitCurves <- function(blocks, names, unit) {
    # Nearer to the corner of no residual and full correlation V is singular to the last digit, and rounding makes the value.
    lower <- setNames(ifelse(names == "residual", 1e-7, 0), names)
    upper <- setNames(ifelse(names == "rho", 1 - 1e-6, Inf), names)
    best <- NULL
    for (share in c(0.3, 0.02)) {
        start <- setNames(ifelse(names == "rho", 0.4, ifelse(names == "residual", 0.7, share)), names)
        found <- nlminb(start, function(x) curveReml(x, blocks, unit, FALSE)$value,
                        function(x) curveReml(x, blocks, unit)$gradient, lower = lower, upper = upper,
                        control = list(rel.tol = 1e-13, x.tol = 1e-10, iter.max = 300, eval.max = 400))
        if (is.null(best) || found$objective < best$objective) {
            best <- found
        }
    }
    theta <- best$par
    at <- curveReml(theta, blocks, unit)
    theta[theta < 1e-7 & at$gradient > 0] <- 0
    active <- names[theta > 0]
    H <- NULL
    for (step in 1:4) {
        at <- curveReml(theta, blocks, unit)
        H <- hessianOf(theta, active, blocks, unit)
        move <- tryCatch(solve(H, at$gradient[active]), error = function(e) 0 * at$gradient[active])
        new <- theta
        new[active] <- theta[active] - move
        if (any(new[active] <= 0) || any(new >= upper) || max(abs(move)) < 1e-12) {
            break
        }
        if (curveReml(new, blocks, unit, FALSE)$value > at$value + 1e-7) {
            break
        }
        theta <- new
        if (max(abs(move)) < 1e-9) {
            break
        }
    }
    list(theta = theta, active = active, at = curveReml(theta, blocks, unit), H = hessianOf(theta, active, blocks, unit))
}

hessianOf <- function(theta, active, blocks, unit) {
    H <- vapply(active, function(name) {
        h <- 1e-4 * max(theta[[name]], 1e-2)
        # Two steps to either side stay inside.
        h <- min(h, theta[[name]] / 4, if (name == "rho") (1 - theta[[name]]) / 4 else Inf)
        side <- function(s) curveReml(replace(theta, name, theta[[name]] + s * h), blocks, unit)$gradient[active]
        # Error of order h^4.
        (8 * (side(1) - side(-1)) - (side(2) - side(-2))) / (12 * h)
    }, numeric(length(active)))
    H <- matrix(H, length(active))
    (H + t(H)) / 2
}
