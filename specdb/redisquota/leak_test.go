package redisquota_test

import (
	"testing"

	"go.uber.org/goleak"
)

// Nothing goes on running once the tests have ended.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
