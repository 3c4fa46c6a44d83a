package placing

// JaroWinkler is how alike two words are as they are spelt.
var JaroWinkler = jaroWinkler
