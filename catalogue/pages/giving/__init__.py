"""What there is to give away, for the owner and for everybody else."""
