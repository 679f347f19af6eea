"""Looking through what there is: finds, towns, makers, and the published tables."""
