package privacy_test

import (
	"slices"
	"testing"

	"sideport/annotate/privacy"
	"sideport/timeline/media"
)

func TestScanFileName(t *testing.T) {
	tests := []struct {
		name string
		want []string
	}{
		{"video.webm", []string{}},
		{"msics-left-eye_final_v2.mp4", []string{}},
		{"case-12.mov", []string{}},
		{"MVI_1234.MOV", []string{}},
		{"recording_part2_1080p60.mkv", []string{}},
		{"C0001.MP4", []string{}},
		{"00002.MTS", []string{}},
		{"patient-view.mp4", []string{}},
		{"20260301_091432.mp4", []string{"date"}},
		{"VID-20260301-WA0003.mp4", []string{"date"}},
		{"IMG_20260301_091432.jpg", []string{"date"}},
		{"rhexis 2026-03.mp4", []string{"date"}},
		{"01_03_2026 left.mp4", []string{"date"}},
		{"2026_03_01.mp4", []string{"date"}},
		{"MRN_204518_left.avi", []string{"record-number"}},
		{"204518-right.avi", []string{"other-number"}},
		{"patient_Torvan_left.mp4", []string{"name"}},
		{"Mr_Kellan.mp4", []string{"name"}},
		{"old/2026-03-01/video.mp4", []string{}}, // the last element alone
	}
	for _, tt := range tests {
		if got := classes(privacy.ScanFileName(tt.name, privacy.Options{AllowYear: true})); !slices.Equal(got, tt.want) {
			t.Errorf("ScanFileName(%q) = %v, want %v", tt.name, got, tt.want)
		}
	}
	hits := privacy.ScanFileName("old/Torvan_left.mp4", privacy.Options{PrivateWords: []string{"torvan"}})
	if want := (privacy.Hit{Class: privacy.PrivateWord, Start: 4, End: 10}); len(hits) != 1 || hits[0] != want {
		t.Errorf("ScanFileName with a private word = %v, want [%v]", hits, want)
	}
}

func TestScanTags(t *testing.T) {
	tests := []struct {
		name, value string
		want        []string
	}{
		// What FFmpeg 5.1.9 and other open-source writers leave by themselves,
		// measured; brands by ISO/IEC 14496-12.
		{"encoder", "Lavf59.27.100", []string{}},
		{"handler_name", "VideoHandler", []string{}},
		{"handler_name", "SoundHandler", []string{}},
		{"handler_name", "ISO Media file produced by a writer Inc.", []string{}},
		{"MuxingApp", "libebml v1.4.2 + libmatroska v1.6.4", []string{}},
		{"WritingApp", "mkvmerge v65.0.0 ('Too Much') 64-bit", []string{}},
		{"major_brand", "isom", []string{}},
		{"compatible_brands", "isomiso2avc1mp41", []string{}},
		{"creation_time", "1970-01-01T00:00:00.000000Z", []string{}},
		{"creation_time", "0000-00-00 00:00:00", []string{}},
		{"date", "2026", []string{}},
		{"language", "und", []string{}},
		{"DURATION", "00:04:05.200000000", []string{}},
		// The statistics of mkvmerge 74.0, measured on a file it made.
		{"BPS", "1240031", []string{}},
		{"BPS-eng", "1240031", []string{}},
		{"NUMBER_OF_FRAMES", "300", []string{}},
		{"NUMBER_OF_BYTES", "1860047123", []string{}},
		{"NUMBER_OF_BYTES", "MRN 1860047123", []string{"record-number"}},
		{"NUMBER_OF_PATIENT", "1860047123", []string{"other-number"}},
		{"title", "Small incision surgery, right eye", []string{}},
		{"title", "Mature White Cataract", []string{}},
		{"comment", "cut and subtitled", []string{}},
		// The same tags of the measurement with somebody in them.
		{"creation_time", "2026-03-01T09:14:32.000000Z", []string{"date"}},
		{"date", "2026-03-01", []string{"date"}},
		{"DATE_RECORDED", "2026-03", []string{"date"}},
		{"com.apple.quicktime.creationdate", "2026-03-01T09:14:32+0530", []string{"date"}},
		{"location", "+12.3456+076.5432/", []string{"place"}},
		{"location-eng", "theatre", []string{"place"}},
		{"com.apple.quicktime.location.ISO6709", "+12.3456+076.5432+920.000/", []string{"place"}},
		{"©xyz", "+12.3456+076.5432/", []string{"place"}},
		{"artist", "Dorvane", []string{"name"}},
		{"©ART", "O. Kellan", []string{"name"}},
		{"title", "Asha Verdane", []string{"name"}},
		{"title", "Asha Verdane 58/F", []string{"name"}},
		{"title", "Sunharbour Eye Hospital", []string{"place"}},
		{"comment", "MRN 204518", []string{"record-number"}},
		{"comment", "operated 1 March 2026", []string{"date"}},
		{"handler_name", "recorder S/N 3F2A9981", []string{"device-serial"}},
		{"SerialNumber", "3F2A", []string{"device-serial"}},
		{"title", "", []string{}},
	}
	for _, tt := range tests {
		got := []string{}
		for _, h := range privacy.ScanTags([]media.Tag{{Name: tt.name, Value: tt.value}}, privacy.Options{AllowYear: true}) {
			got = append(got, h.Class)
			if h.Name != tt.name || h.Tag != 0 || h.End > len(tt.value) {
				t.Errorf("ScanTags(%s) has %+v", tt.name, h)
			}
		}
		if !slices.Equal(got, tt.want) {
			t.Errorf("ScanTags(%s = %q) = %v, want %v", tt.name, tt.value, got, tt.want)
		}
	}
}
