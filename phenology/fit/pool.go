package fit

import (
	"math"
	"slices"

	"treewhen/phenology"
)

// Pool is the evidence of several series of one phase at one place, from which a variant may be chosen for all of them.
type Pool struct {
	members []*Evidence
	picks   map[poolKey]int
	shared  map[sharedKey][]*trial
}

type poolKey struct {
	form int
	a, b phenology.Season
}

// sharedKey names a form of which all series share what is fitted, too: the slope with warmth.
type sharedKey struct {
	member *Evidence
	form   int
}

// NewPool pools series of one phase.
func NewPool(members []*Evidence) *Pool {
	p := &Pool{members: members, picks: map[poolKey]int{}, shared: map[sharedKey][]*trial{}}
	if len(members) == 0 {
		return p
	}
	for f, form := range members[0].forms {
		for v, variant := range form.Variants {
			if variant.Warmth != nil {
				p.share(f, v)
			}
		}
	}
	return p
}

// Size returns how many series were pooled.
func (p *Pool) Size() int {
	if p == nil {
		return 0
	}
	return len(p.members)
}

// share tries a variant anew with one slope for all series that it can serve.
func (p *Pool) share(form, variant int) {
	daters := make([]*warmthDater, len(p.members))
	var all []*warmthDater
	for i, m := range p.members {
		if t := m.trials[form][variant]; t != nil {
			d := *t.dater.(*warmthDater)
			daters[i] = &d
			all = append(all, &d)
		}
	}
	for i, m := range p.members {
		var t *trial
		if d := daters[i]; d != nil {
			d.kin = slices.DeleteFunc(slices.Clone(all), func(k *warmthDater) bool { return k == d })
			t = newTrial(d, m.trials[form][variant].odd, m.Years)
		}
		key := sharedKey{m, form}
		p.shared[key] = append(p.shared[key], t)
	}
}

// trials returns those of a form on a series, by variant: with what is shared, where the form has such.
func (p *Pool) trials(m *Evidence, form int) []*trial {
	if shared, ok := p.shared[sharedKey{m, form}]; ok {
		return shared
	}
	return m.trials[form]
}

// roundOff is the variance of a date given in whole days, days squared: no error is known to be less.
const roundOff = 1. / 12

// pick returns the variant of a form that does best over all series without two seasons (the zero season stands for
// none), -1 if none serves all: that of the greatest likelihood, each series having a normal error of its own size.
func (p *Pool) pick(form int, a, b phenology.Season) int {
	if b.Year < a.Year {
		a, b = b, a
	}
	key := poolKey{form, a, b}
	if best, ok := p.picks[key]; ok {
		return best
	}
	best, least := -1, math.Inf(1)
	for v := range p.members[0].trials[form] {
		sum := 0.0
		for _, m := range p.members {
			t := p.trials(m, form)[v]
			if t == nil {
				sum = math.Inf(1)
				break
			}
			sum += float64(len(m.Years)) * math.Log(t.score(m.index(a), m.index(b))+roundOff)
		}
		if sum < least {
			best, least = v, sum
		}
	}
	p.picks[key] = best
	return best
}
