"""What a find still lacks, what would help most, and a walk through those that lack something."""
