"""What was put aside: out of sight, not gone."""
