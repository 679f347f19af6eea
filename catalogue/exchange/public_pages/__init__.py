"""Pages to carry away: where they are written, their pictures, styles and scripts."""
