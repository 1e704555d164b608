// Package shim decides what to fit: which pieces of thickness at which places bring every spec into its band, by one
// stated ranking, exactly.
//
// It decides which options exist, how they rank and why, and what cannot be planned. What a reading says and what a
// verdict would be is decided by package judge; the package refuses to know catalogues, files and sentences. It keeps
// no state; a plan of one request may run beside any other.
//
// # The relation
//
// Let t[i] be the total thickness of the adjustable pieces at place i and c[i][j] the change of spec j per millimetre
// there. For every shape — stack, float, bucket, bevel — the new value of spec j is
//
//	x[j] = now[j] + Σ_i c[i][j] · (t[i] − old[i])
//
// and the offset of a set between places a and b is now + (t[a] − old[a] − t[b] + old[b]) / 2.
//
// # The programme
//
// Let n[i,k] be how many pieces of kind k go to place i: a whole number, not negative. Choose n to minimise,
// lexicographically, the row of numbers
//
//	unsure; −p where unsure; place_out; past_aim; then
//	closest:    class(d); ⌊Σ|offset| / max(g, 0.01 mm)⌋; new; pieces; d
//	fewest_new: new; d; Σ|offset|; pieces
//	then: 1 unless no change; −Σ thickness; places by set and id, larger first
//
// subject to
//
//	Σ_i n[i,k] ≤ count[k]                         for every kind that is fitted or on hand
//	min[i] ≤ Σ_k n[i,k] ≤ max[i]                  for every place
//	lower[j] ≤ low[j] + x[j] − now[j]             for every spec, low and high being what is held against each limit
//	high[j] + x[j] − now[j] ≤ upper[j]
//	|offset| ≤ limit                              for every set that has one
//
// where d = Σ_j |x[j] − aim[j]|, new = Σ n over the ladders, pieces = Σ n, p = min_j P(j inside), unsure says that a
// p is below the demand, and class(d) = max(0, ⌈(d − d_best)/g⌉ − 1), d itself for g = 0, with g the largest standard
// uncertainty of the readings in whole nanometres and d_best the least d among the options that meet the demand and are
// neither place_out nor past_aim, else among those that meet it, else among all. Options with the same printed
// thicknesses at each place are one: the best assignment of pieces stands, then the least variance, then pieces fitted
// here, fitted elsewhere, on hand, to order, then the SKU.
//
// Larger first means, at the first place that differs, the larger total; of equal totals the larger piece, the thickest
// held against the thickest, then the next ones. So 0.9 0.2 | 0.5 comes before 0.9 | 0.5 0.2, the longer list on the
// first place, and 0.7 0.4 before 0.6 0.5.
//
// # How it is solved
//
// All lengths are whole numbers on one grid, so that nothing is rounded. Places fall into parts that hang together
// through specs and offsets. Within a part the totals that the limits allow are found by passing bounds round and
// collected in rings round the aim, until nothing farther out can enter the ranking; they are taken best bound first, and
// only then broken down into pieces, the last two of which are found from both ends of the ladder. Between parts, which
// share nothing but stock, the fields of the ranking add up, tier by tier.
//
// Parts of one place with one piece at most, valves under buckets, are an assignment problem: the ranking is a cost that
// adds up number by number, and the best assignments are listed in order (Murty 1968) by shortest paths, however crowded
// the box is. A matching tells beforehand whether a tier has room for every place. Where closeness comes first, one such
// list is kept for each number of pieces bought; the least deviation is convex in that number, so that few are looked at.
//
// The work is bounded by a count of nodes: where it runs out, the plan says that it is not proven.
//
//	plan, err := shim.New(ctx, shim.Request{Unit: quantity.Millimetre, Sets: sets, Measured: measured, Fitted: fitted})
//	plan.ToOrder[0].Places // what to fit
package shim
