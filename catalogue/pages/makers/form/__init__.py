"""Adding a maker in under a minute, and changing one."""
