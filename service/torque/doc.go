// Package torque takes a torque from the published figure to the click of the wrench, and estimates one where nothing is
// published and somebody asks for a generic figure.
//
// It decides what to set on a wrench with an extension, what that setting really gives, which of several wrenches is
// good enough, how far a castle nut may advance, and what a joint of standard parts carries by a named model. It refuses
// to judge records, to give a number for joints out of scope, and to mix a generic figure with a published one. What it
// says beside a number are codes with parameters. Settings are exact; estimates are floats. All functions are pure and
// safe for concurrent use.
//
//	w, _ := torque.Of(spec)                      // 30 N·m, 28 to 32
//	s, _ := torque.Set(w, wrench, torque.Use{Extension: torque.Extension{Length: fifty}})
//	s.Exact, s.Set, s.Gives                      // 25.714…, 25.5, 29.75
package torque
