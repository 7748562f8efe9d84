# Writes R's surveyed spot heights for the tests: Rscript export_heights.R OUT.csv
# MASS::topo (Debian r-cran-mass): 52 heights of a hilly lot, x and y in units of 50 ft, z in ft.
out <- commandArgs(trailingOnly = TRUE)[1]
dir.create(dirname(out), showWarnings = FALSE, recursive = TRUE)
library(MASS)
write.csv(transform(topo, x = x * 50, y = y * 50), out, row.names = FALSE)
