package taxonomy

// Load is the reading of the embedded files without the cache in front of it.
var Load = load
