"""Reading a worn base by plates, and measuring in a picture: pages of a find."""
