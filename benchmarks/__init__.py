"""Gates of accuracy, speed, fit and plan. Ratios within one run gate; absolute figures name their machine."""
