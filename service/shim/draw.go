package shim

// draw takes the pieces of a fill out of the stock, or puts them back with sign −1. It answers false, with nothing
// taken, where one is not there any more.
func (p *problem) draw(used []int, i int, f fill, sign int) bool {
	uses := p.places[i].uses
	if f.stay {
		return p.drawOwn(used, i, sign)
	}
	for n, u := range f.uses {
		k := uses[u].kind
		used[k] += sign
		if c := p.kinds[k].cap; c > 0 && used[k] > c {
			for _, b := range f.uses[:n+1] {
				used[uses[b].kind] -= sign
			}
			return false
		}
	}
	return true
}

// drawOwn takes everything that is fitted at a place and is stock: none of it may sit elsewhere.
func (p *problem) drawOwn(used []int, i, sign int) bool {
	for n, k := range p.kinds {
		if k.home == i && sign > 0 && used[n] > 0 {
			return false
		}
	}
	for n, k := range p.kinds {
		if k.home == i {
			used[n] += sign * k.cap
		}
	}
	return true
}
