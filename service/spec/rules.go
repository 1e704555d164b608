package spec

// Rules names the way readings are judged, shims planned and torques set. It changes whenever any result can change
// for the same data, so that an answer can be told from one that a later build would give.
const Rules = "1"
