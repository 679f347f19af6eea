"""The makers, and one of them with its marks and codes."""
