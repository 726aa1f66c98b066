package inputs

import (
	"container/list"
	"sync"
)

// shelf keeps values that take some work to make and much memory to keep: those last asked for, up to so many days of
// temperatures in all. What was put away is made again when it is asked for. It is safe for use by several goroutines;
// one of them makes a value, and the others wait for it.
type shelf[K comparable, V any] struct {
	room int // days

	mu    sync.Mutex
	items map[K]*list.Element // of *shelved
	order list.List           // the last asked for in front
	taken int                 // days
}

type shelved[K comparable, V any] struct {
	key   K
	once  sync.Once
	value V
	days  int
}

// get returns a value, which make makes where it is not there, and tells how many days it holds.
func (s *shelf[K, V]) get(key K, make func() (V, int)) V {
	s.mu.Lock()
	at, ok := s.items[key]
	if ok {
		s.order.MoveToFront(at)
	} else {
		at = s.add(&shelved[K, V]{key: key})
	}
	s.mu.Unlock()
	item := at.Value.(*shelved[K, V])
	item.once.Do(func() {
		var days int
		item.value, days = make()
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.items[key] == at { // else it was put away meanwhile
			item.days = days
			s.taken += days
			s.tidy(at)
		}
	})
	return item.value
}

// offer keeps a value that was made already, if there is room for it beside what is there.
func (s *shelf[K, V]) offer(key K, value V, days int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, ok := s.items[key]; ok || s.taken+days > s.room {
		return
	}
	item := &shelved[K, V]{key: key, value: value, days: days}
	item.once.Do(func() {})
	s.add(item)
	s.taken += days
}

func (s *shelf[K, V]) add(item *shelved[K, V]) *list.Element {
	if s.items == nil {
		s.items = map[K]*list.Element{}
	}
	at := s.order.PushFront(item)
	s.items[item.key] = at
	return at
}

// tidy puts away what was not asked for the longest until the rest has room, but never the item last made.
func (s *shelf[K, V]) tidy(last *list.Element) {
	for at := s.order.Back(); s.taken > s.room && at != nil; {
		before := at.Prev()
		if item := at.Value.(*shelved[K, V]); at != last {
			s.order.Remove(at)
			delete(s.items, item.key)
			s.taken -= item.days
		}
		at = before
	}
}

// clear puts everything away.
func (s *shelf[K, V]) clear() {
	s.mu.Lock()
	defer s.mu.Unlock()
	clear(s.items)
	s.order.Init()
	s.taken = 0
}
