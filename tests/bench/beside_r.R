# survreg and lme4 on the rows that learning_bench wrote: time (least of three) and figures.
suppressMessages({library(survival); library(lme4)})
folder <- commandArgs(trailingOnly = TRUE)[1]
least <- function(call) min(replicate(3, system.time(call())[["user.self"]]))
for (n in c("50", "500", "5000", "100000")) {
    d <- read.csv(file.path(folder, paste0("exact_", n, ".csv")))
    fit <- NULL
    time <- least(function() fit <<- lmer(low ~ m + ea + age + p + (1 | bath), data = d, REML = TRUE))
    spread <- as.data.frame(VarCorr(fit))$sdcor
    cat(sprintf("lme4 %s reml p %.8f scatter %.8f bath %.8f ms %.1f\n", n, fixef(fit)[["p"]], spread[2], spread[1], 1000 * time))
    d <- read.csv(file.path(folder, paste0("censored_", n, ".csv")))
    time <- least(function() fit <<- survreg(Surv(low, high, type = "interval2") ~ m + ea + age + p, data = d, dist = "gaussian"))
    cat(sprintf("survreg %s censored p %.8f scatter %.8f ms %.1f\n", n, coef(fit)[["p"]], fit$scale, 1000 * time))
}
