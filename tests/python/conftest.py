import matplotlib

# Figures go to files; a machine without a screen runs the same tests.
matplotlib.use("Agg")
