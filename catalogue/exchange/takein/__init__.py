"""Spreadsheets taken in: read as cells, columns understood, each row judged, then written as one step."""
