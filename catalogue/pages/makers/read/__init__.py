"""Read a mark: what stands on the glass, how it was understood, and whose mark it may be."""
