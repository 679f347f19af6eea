"""One act on many finds: chosen, shown what it will change, done as one step, undone as one step."""
