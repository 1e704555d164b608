package quota

import (
	"testing"
	"time"
)

func TestATableIsBoundedAndKeepsWhoOwesMost(t *testing.T) {
	t.Parallel()
	tab := newTable()
	const window = time.Hour
	spent := uint64(7)
	if _, ok := tab.takeAt(0, spent, window, window); !ok {
		t.Fatal("nobody owes anything yet")
	}
	for i := uint64(1); i <= 3*shards*perShard; i++ {
		tab.takeAt(0, i<<8, time.Second, window)
		tab.takeAt(0, i<<8|spent, time.Second, window) // the same shard as the one that is spent
	}
	if n := tab.callers(); n > shards*perShard {
		t.Errorf("%d callers are held", n)
	}
	if debt, ok := tab.takeAt(0, spent, time.Second, window); ok || debt != window {
		t.Errorf("who had spent everything was forgotten: %v %v", debt, ok)
	}
}

func TestADebtIsNeverOverTheWindow(t *testing.T) {
	t.Parallel()
	tab := newTable()
	tab.takeAt(0, 1, time.Hour, time.Hour)
	if debt, ok := tab.takeAt(0, 1, time.Second, time.Minute); ok || debt != time.Minute {
		t.Errorf("a window that was shortened: %v %v", debt, ok)
	}
	if debt, ok := tab.takeAt(30*time.Second, 1, 30*time.Second, time.Minute); !ok || debt != time.Minute {
		t.Errorf("half of the shorter one has run off: %v %v", debt, ok)
	}
	if debt, ok := tab.takeAt(0, 2, time.Minute, time.Minute); !ok || debt != time.Minute {
		t.Errorf("exactly the window: %v %v", debt, ok)
	}
	if debt, ok := tab.takeAt(2*time.Hour, 1, time.Minute, time.Minute); !ok || debt != time.Minute {
		t.Errorf("long after: %v %v", debt, ok)
	}
}
