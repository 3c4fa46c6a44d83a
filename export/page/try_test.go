package page_test

import (
	"bytes"
	"os"
	"sideport/export/page"
	"testing"
)

func TestTry(t *testing.T) {
	var b bytes.Buffer
	if err := page.Write(&b, exampleCase(t), exampleOptions()); err != nil {
		t.Fatal(err)
	}
	os.WriteFile("/tmp/pg/index.html", b.Bytes(), 0o644)
	t.Log(b.Len())
}
