"""The story of a piece: a draft by rules from its facts, for a person to make their own."""
