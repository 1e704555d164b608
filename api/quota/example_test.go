package quota_test

import (
	"fmt"
	"net/netip"

	"endfloat/api/quota"
)

func Example() {
	per, err := quota.Parse("10/1h")
	if err != nil {
		return
	}
	limiter := quota.New(quota.Options{Address: per})
	caller := limiter.Address(quota.Client{Addr: netip.MustParseAddr("192.0.2.1")})
	for range 3 {
		d := limiter.Charge(caller, 5)
		limit, _ := d.Header()
		fmt.Println(d.Allowed, limit)
	}
	// Output:
	// true "address";r=5;t=1800
	// true "address";r=0;t=3600
	// false "address";r=0;t=3600
}
