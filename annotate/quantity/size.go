package quantity

// Needle is the size of one needle gauge in millimetres of diameter.
type Needle struct {
	Gauge                  int
	OuterMM, InnerMM       float64 // nominal, regular wall; InnerMM 0 = not in the chart
	OuterMinMM, OuterMaxMM float64 // limits of the standard
	Evidence, Source       string  // of the nominal diameters
	LimitEvidence          string  // of the limits
}

const (
	needleChart = "public needle gauge chart, nominal diameters"
	sutureTable = "two public suture size tables"
)

// needles is the chart in gauge order.
//
// Source: nominal diameters from a public gauge chart (confirmed); limits of ISO
// 9626 from memory, unconfirmed.
var needles = []Needle{
	needle(18, 1.270, 0.838, 1.200, 1.300),
	needle(19, 1.067, 0.686, 1.030, 1.100),
	needle(20, 0.9081, 0.603, 0.860, 0.920),
	needle(21, 0.8192, 0.514, 0.800, 0.830),
	needle(22, 0.7176, 0.413, 0.698, 0.730),
	needle(23, 0.6414, 0.337, 0.600, 0.673),
	needle(24, 0.5652, 0.311, 0.550, 0.580),
	needle(25, 0.5144, 0.260, 0.500, 0.530),
	needle(26, 0.4636, 0.260, 0.440, 0.470),
	needle(27, 0.4128, 0.210, 0.400, 0.420),
	needle(28, 0.3620, 0.184, 0.349, 0.370),
	needle(29, 0.3366, 0.184, 0.324, 0.351),
	needle(30, 0.3112, 0.159, 0.298, 0.320),
	needle(32, 0.2350, 0, 0.229, 0.241),
}

func needle(gauge int, outer, inner, low, high float64) Needle {
	return Needle{gauge, outer, inner, low, high, "confirmed", needleChart, "from-memory"}
}

// NeedleSize looks up a gauge; false for one that is not in the chart.
func NeedleSize(gauge int) (Needle, bool) {
	for _, n := range needles {
		if n.Gauge == gauge {
			return n, true
		}
	}
	return Needle{}, false
}

// Suture is the diameter range of one suture size of the United States
// Pharmacopeia, in millimetres; MaxMM 0 = not in the tables read.
type Suture struct {
	Zeros            int // 10 for 10-0
	Metric           float64
	MinMM, MaxMM     float64
	Evidence, Source string
}

// sutures is the table from thin to thick. The metric number is the lower limit in
// tenths of a millimetre. The upper limits of 7-0 and 6-0 follow the pharmacopeia
// from memory: the public table that prints 0.059 and 0.079 leaves gaps before the
// next size and misprints 1-0.
//
// Source: two public tables; USP 29 <861> for 3-0 = metric 2.
var sutures = []Suture{
	{11, 0.1, 0.010, 0.019, "confirmed", sutureTable},
	{10, 0.2, 0.020, 0.029, "confirmed", sutureTable},
	{9, 0.3, 0.030, 0.039, "confirmed", sutureTable},
	{8, 0.4, 0.040, 0.049, "confirmed", sutureTable},
	{7, 0.5, 0.050, 0.069, "from-memory", "USP <861>, upper limit from memory, unconfirmed"},
	{6, 0.7, 0.070, 0.099, "from-memory", "USP <861>, upper limit from memory, unconfirmed"},
	{5, 1.0, 0.100, 0.149, "confirmed", sutureTable},
	{4, 1.5, 0.150, 0.199, "confirmed", sutureTable},
	{3, 2, 0.20, 0, "confirmed", "USP 29 <861>: 3-0 is metric size 2"},
	{2, 3, 0.30, 0, "from-memory", "a suture conversion page prints metric 3; another public table prints 2.5"},
	{1, 3.5, 0.35, 0, "from-memory", sutureTable},
}

// SutureSize looks up a size by its zeros, 10 for 10-0; 1-0 is size 0.
func SutureSize(zeros int) (Suture, bool) {
	for _, s := range sutures {
		if s.Zeros == zeros {
			return s, true
		}
	}
	return Suture{}, false
}
