"""Least cost from the first to the last cell of a raster by scikit-image's MCP_Geometric (python3-skimage)."""
import sys

import numpy
from skimage.graph import MCP_Geometric

costs = numpy.loadtxt(sys.argv[1])
costs[costs < 0] = numpy.inf
field, _ = MCP_Geometric(costs).find_costs([(0, 0)])
print(repr(float(field[-1, -1])))
