"""Who changed what on a record, and an earlier state of it brought back."""
