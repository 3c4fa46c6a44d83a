package export_test

import (
	"testing"

	"sideport/export"
)

// A private word is found as a reader would see it, however it is written.
func TestLeaks(t *testing.T) {
	words := []string{"Torvän"}
	tests := []struct {
		name, file, data string
		want             bool
	}{
		{"as it is", "a.txt", "seen by Torvän", true},
		{"in capitals", "a.txt", "TORVÄN", true},
		{"with a combining mark", "a.txt", "Torva\u0308n", true},
		{"as an entity", "index.html", "Torv&auml;n", true},
		{"in two styles", "index.html", "<p>Tor<strong>vän</strong></p>", true},
		{"in two styles, in part an entity", "index.html", `<p>Tor<b class="x">v&#228;n</b></p>`, true},
		{"in the name", "torvän.vtt", "", true},
		{"as a part of another word", "a.txt", "Torvänen", false},
		{"not at all", "index.html", "<p>Torvan & others</p>", false},
	}
	for _, tt := range tests {
		name, found := export.Leaks([]export.File{{Name: "clean.txt"}, {Name: tt.file, Data: []byte(tt.data)}}, words)
		if found != tt.want || found && name != tt.file {
			t.Errorf("%s: Leaks = %q, %v, want %v", tt.name, name, found, tt.want)
		}
	}
	if name, found := export.Leaks([]export.File{{Name: "a.txt", Data: []byte("anything")}}, nil); found {
		t.Errorf("Leaks without words = %q", name)
	}
}
