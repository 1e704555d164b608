// Command load compares the service with bare handlers that write the same bytes, side by side in one run.
//
// It starts three servers on loopback: a net/http handler that sets only Content-Type, one that writes the same header
// fields, and the built service with everything on. For each case it runs them in turn, several rounds of each, over
// connections that stay open, and prints requests a second, the processor time of the server for one request, the
// median and the 99th percentile of the latency, and the ratios of the rates. It decides nothing: how fast is fast
// enough is the reader's to say. It ends by itself.
//
//	go run ./integration/load                        about a minute
//	go run ./integration/load --rounds 20 --for 1s   longer and steadier
package main
