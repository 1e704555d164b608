package main

import (
	"endfloat/api/quota"
	"endfloat/specdb/keyfile"
)

// calling is what whoever runs the service grants to callers.
type calling struct {
	keys                        string // the file; empty: no keys
	perAddress, perKey, lookUps quota.Quota
}

// Quotas where nothing is said: an address has a hundred units a second, which is twenty questions of one check, and a
// minute's worth of it at once; a key has ten times as much.
const (
	presetQuota    = "6000/1m"
	presetKeyQuota = "60000/1m"
	presetLookUps  = "off"
)

func (c *calling) options() []option {
	return []option{
		{"keys", "", "file of the keys that were issued to callers (endfloat keys --help); read again when it changes and on SIGHUP; without it there are none", func(v string) error {
			c.keys = v
			return nil
		}},
		{"quota", presetQuota, "units in a time that an address, or an IPv6 network of 64 bits, may ask for by POST, such as 6000/1m, or off; shared by all services of one --redis; callers on the machine itself are not counted", quotaInto(&c.perAddress)},
		{"key-quota", presetKeyQuota, "the same for the owner of a key that brings none of its own", quotaInto(&c.perKey)},
		{"lookup-quota", presetLookUps, "the same for look-ups by GET, one unit each, counted by each service alone", quotaInto(&c.lookUps)},
	}
}

func quotaInto(q *quota.Quota) func(string) error {
	return func(v string) (err error) {
		*q, err = quota.Parse(v)
		return err
	}
}

// counted reports whether anything has to be counted: keys may bring quotas of their own.
func (c *calling) counted() bool {
	return c.keys != "" || c.shared() || c.lookUps.Limited()
}

// shared reports whether there is something to count together with other services.
func (c *calling) shared() bool { return c.keys != "" || c.perAddress.Limited() }

// quotaOf is the quota that a key brings.
func quotaOf(q *keyfile.Quota) quota.Quota {
	switch {
	case q == nil:
		return quota.Quota{}
	case q.Unlimited:
		return quota.None()
	}
	return quota.Of(q.Units, q.Seconds)
}
