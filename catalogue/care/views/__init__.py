"""Pages of the workbench."""
