// Command load holds the service against others that write the same bytes, side by side in one run, and prints tables in
// Markdown.
//
// It starts on loopback, each as a process of its own: a net/http handler that sets only Content-Type, one that writes
// the same header fields, nginx with the same bytes in files, a handler that asks Redis for every look-up, the built
// service without quotas, and the built service with everything on: catalogue and quotas in Redis, every quota counted,
// a proxy that is believed, metrics. Look-ups, a 304, an evaluation, a plan, a sheet and a table of a hundred rows are
// asked for alone and mixed, in rounds in turn, over connections that stay open. Then the mixed load goes on at a fixed
// rate while revisions are published, in the Redis that the service follows and in another one, and while Redis is slow,
// hangs, goes and comes back. What is not installed is left out, and said so. It decides nothing: how fast is fast enough
// is the reader's to say. It ends by itself.
//
//	go run ./integration/load                            about two minutes
//	go run ./integration/load --rounds 10 --for 1s       longer and steadier, on a machine that does nothing else
//	go run ./integration/load --only look-up,events      some cases alone
//	go run ./integration/load --soak 1h                  memory and goroutines under a mixed load over time
//
// Without a rate, latencies are those of a service that has as much to do as it can; CPU time per request is what other
// work on the machine disturbs least.
package main
