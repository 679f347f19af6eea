"""The exhibit: big pictures one after the other, for a tablet beside the shelf."""
