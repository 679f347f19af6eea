"""What several pages show: cards, rulers of a group, the answer of the dating service."""
