package api

import (
	"net/http"
	"strings"

	"endfloat/api/quota"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Key is what a caller's key stands for. Keys of one name are one owner's.
type Key struct {
	Name   string
	Quota  quota.Quota       // unsaid: that of all keys
	Policy *spec.JudgePolicy // pinned for what is judged; nil: the default of the catalogue
}

// Keys knows the keys that were issued. It is safe for concurrent use.
type Keys interface {
	// Find is the key with that secret; ok is false for one that was never issued or is revoked.
	Find(secret string) (key Key, ok bool)
}

// key is the key of a request (RFC 6750, section 2.1); nil where it has none. A key that is not known is a fault, so
// that nobody believes to be held to a policy that does not apply.
func (s *server) key(r *http.Request) (*Key, error) {
	values := r.Header["Authorization"]
	if len(values) == 0 {
		return nil, nil
	}
	scheme, secret, _ := strings.Cut(values[0], " ")
	if !strings.EqualFold(scheme, "bearer") && r.Method != http.MethodPost {
		return nil, nil // somebody else's, such as that of a proxy
	}
	if len(values) == 1 && strings.EqualFold(scheme, "bearer") && s.deps.Keys != nil {
		if key, ok := s.deps.Keys.Find(strings.TrimSpace(secret)); ok {
			return &key, nil
		}
	}
	return nil, &fault.Error{Kind: fault.Unnamed, Code: "key_not_known", Violations: []fault.Violation{{Code: "key_not_known",
		Detail: note.New("found_unknown_bearer_key"), Fix: note.New("fix_send_authorization_bearer_key"),
		At: fault.Place{Header: "Authorization"}}}}
}
