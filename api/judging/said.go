package judging

import (
	"slices"
	"sync"
	"sync/atomic"

	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// said is what is said of a spec beside every result: its cautions, which answers share and nobody changes, and its
// limits in words.
type said struct {
	cautions []string
	limits   text.Display
}

// mostSaid is how many of them are kept.
const mostSaid = 10_000

// sayings keep what is said of the specs of one revision, for all requests. Another revision starts with none. The zero
// value is ready; they are safe for concurrent use.
type sayings struct{ now atomic.Pointer[saidOf] }

type saidOf struct {
	rev    *catalogue.Revision
	specs  [len(spec.Languages)]sync.Map // of *said, by *spec.Spec
	number atomic.Int64
}

// of is what is said of a spec of a revision; it is made where it is not kept.
func (k *sayings) of(rev *catalogue.Revision, s *spec.Spec, v *voice) *said {
	now := k.now.Load()
	if now == nil || now.rev != rev {
		now = &saidOf{rev: rev}
		k.now.Store(now)
	}
	at := slices.Index(spec.Languages[:], v.lang)
	if at < 0 {
		return v.saidOf(rev, s)
	}
	if x, ok := now.specs[at].Load(s); ok {
		return x.(*said)
	}
	x := v.saidOf(rev, s)
	if now.number.Load() < mostSaid {
		now.number.Add(1)
		now.specs[at].Store(s, x)
	}
	return x
}

func (v *voice) saidOf(rev *catalogue.Revision, s *spec.Spec) *said {
	return &said{slices.Clip(rev.Defaults.CautionsOf(s)), v.book.Limits(v.lang, s)}
}

// said is what is said of a spec; that of a caller's own is made for the request alone.
func (b *batch) said(s *spec.Spec) *said {
	switch s {
	case b.last.spec:
	case b.own.spec:
		b.last.spec, b.last.said = s, b.saidOf(b.rev, s)
	default:
		b.last.spec, b.last.said = s, b.kept.of(b.rev, s, &b.voice)
	}
	return b.last.said
}
