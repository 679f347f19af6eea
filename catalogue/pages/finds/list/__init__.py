"""The list of finds: search, filters, columns, the years of all it leaves."""
