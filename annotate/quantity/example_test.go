package quantity_test

import (
	"fmt"

	"sideport/annotate/quantity"
)

func Example() {
	q, _ := quantity.Parse("about 6,2-6.8 mm")
	fmt.Println(q, *q.Low, *q.High, q.Approximate)

	vacuum, _ := quantity.Parse("40 kPa")
	mmHg, _ := vacuum.In("mmHg")
	fmt.Println(vacuum, "is", mmHg)

	_, err := quantity.Parse("2,400")
	fmt.Println(err)

	for _, f := range quantity.Find("0:41 rhexis 5.5 mm under 2 % OVD") {
		fmt.Println(f.Start, f.Text)
	}
	// Output:
	// about 6.2–6.8 mm 6.2 6.8 true
	// 40 kPa is 300.025 mmHg
	// "2,400" can be read as 2400 or as 2.4; write the one that is meant
	// 12 5.5 mm
	// 25 2 %
}
