package circuit

// network is what a circuit's shape alone decides: which nodes ideal sources
// hold together, in which order the others are eliminated, and where each
// conductance is kept meanwhile.
//
// Nodes joined by ideal sources are one supernode with one unknown voltage, so
// that only conductances are left; the one that holds Ground has the last index
// and is never eliminated. Eliminating a node then is the transformation of a
// star into a mesh (A. Rosen, 1924): each pair of its neighbours gets
// ga gb / (sum of all). A row's sum is kept as its conductances, Ground's among
// them, and never as a diagonal from which something is subtracted, so even a
// network that hangs on its leak loses no digits (W. Grassmann, M. Taksar and
// D. Heyman, Operations Research 33, 1985).
type network struct {
	unknowns int
	super    []int32 // by node: index of its supernode; unknowns is Ground's
	tree     []held  // sources from the root of each supernode outward
	rows     []int32 // row k holds slots rows[k] to rows[k+1]-1, Ground's last
	column   []int32 // by slot: the neighbour
	meet     []int32 // where pairs of a row's neighbours meet, in the order of elimination
	slot     []int32 // by part: where its conductance goes; len(column) is nowhere

	laid []laid // by part: what was read of it

	linked []bool  // unknowns × unknowns, while rows are made
	place  []int32 // unknown by order of discovery: its row
	free   []int32 // by unknown: how many neighbours are left, -1 if eliminated
}

// laid is what of a part decides the shape: its nodes, and whether it is a source
// that holds them together.
type laid struct {
	a, b  Node
	holds bool
}

func (q *part) laid() laid { return laid{q.a, q.b, q.kind == source && q.condition != Cut} }

// held is a source whose child end takes its voltage from the parent end.
type held struct {
	part          Part
	parent, child Node
	sign          float64 // 1 if the child is the plus end
}

// read takes in the circuit, all of whose parts must be sound for themselves.
func (n *network) read(c *Circuit) *PartError {
	if err := n.join(c); err != nil {
		return err
	}
	n.order(c)
	n.layOut(c)
	n.laid = n.laid[:0]
	for i := range c.parts {
		n.laid = append(n.laid, c.parts[i].laid())
	}
	return nil
}

// fits reports whether c, the circuit read, still has the shape it had then: parts
// may have been moved and moved back.
func (n *network) fits(c *Circuit) bool {
	if len(n.super) != len(c.names) || len(n.laid) != len(c.parts) {
		return false
	}
	for i := range c.parts {
		if n.laid[i] != c.parts[i].laid() {
			return false
		}
	}
	return true
}

const unseen = -1

// join numbers the supernodes, Ground's 0 and the others from 1 for now.
func (n *network) join(c *Circuit) *PartError {
	n.super = fill(n.super, len(c.names), unseen)
	n.tree = n.tree[:0]
	count := int32(0)
	for root := range n.super {
		if n.super[root] != unseen {
			continue
		}
		n.super[root] = count
		if err := n.grow(c, count); err != nil {
			return err
		}
		count++
	}
	n.unknowns = int(count) - 1
	return nil
}

// grow adds to the newest supernode what its sources reach.
func (n *network) grow(c *Circuit, super int32) *PartError {
	for more := true; more; {
		more = false
		for i := range c.parts {
			q := &c.parts[i]
			if q.kind != source || q.condition == Cut {
				continue
			}
			h := held{part: Part(i), parent: q.b, child: q.a, sign: 1}
			if n.super[q.a] == super {
				h = held{part: Part(i), parent: q.a, child: q.b, sign: -1}
			}
			switch {
			case n.super[h.parent] != super || n.holds(h.part):
			case n.super[h.child] == super:
				return &PartError{Part: Part(i), Name: q.name, Reason: SourceLoop}
			default:
				n.super[h.child] = super
				n.tree = append(n.tree, h)
				more = true
			}
		}
	}
	return nil
}

func (n *network) holds(p Part) bool {
	for i := range n.tree {
		if n.tree[i].part == p {
			return true
		}
	}
	return false
}

// order renumbers the supernodes in the order of elimination: always the one
// with the fewest neighbours left (minimum degree), the first of equals.
func (n *network) order(c *Circuit) {
	m := n.unknowns
	n.linked = fill(n.linked, m*m, false)
	n.free = fill(n.free, m, 0)
	n.place = fill(n.place, m, 0)
	for i := range c.parts {
		q := &c.parts[i]
		if q.kind != source {
			n.link(n.super[q.a]-1, n.super[q.b]-1)
		}
	}
	for k := range m {
		v := n.poorest()
		n.place[v] = int32(k)
		n.eliminate(v)
	}
	for i, s := range n.super {
		if s == 0 {
			n.super[i] = int32(m)
		} else {
			n.super[i] = n.place[s-1]
		}
	}
}

func (n *network) link(a, b int32) {
	m := int32(n.unknowns)
	if a < 0 || b < 0 || a == b || n.linked[a*m+b] {
		return
	}
	n.linked[a*m+b], n.linked[b*m+a] = true, true
	n.free[a]++
	n.free[b]++
}

func (n *network) poorest() int32 {
	best := int32(-1)
	for v, d := range n.free {
		if d >= 0 && (best < 0 || d < n.free[best]) {
			best = int32(v)
		}
	}
	return best
}

// eliminate joins the neighbours of v that are left with one another. Its own
// links stay, as the row it will have.
func (n *network) eliminate(v int32) {
	m := int32(n.unknowns)
	n.free[v] = -1
	for a := range m {
		if !n.linked[v*m+a] || n.free[a] < 0 {
			continue
		}
		n.free[a]--
		for b := range a {
			if n.linked[v*m+b] && n.free[b] >= 0 {
				n.link(a, b)
			}
		}
	}
}

// layOut makes the rows and finds where things meet in them.
func (n *network) layOut(c *Circuit) {
	m := n.unknowns
	at := fill(n.free, m, 0) // the order of elimination
	for v, k := range n.place {
		at[k] = int32(v)
	}
	n.rows = append(n.rows[:0], 0)
	n.column = n.column[:0]
	for k := range m {
		for l := k + 1; l < m; l++ {
			if n.linked[int(at[k])*m+int(at[l])] {
				n.column = append(n.column, int32(l))
			}
		}
		n.column = append(n.column, int32(m))
		n.rows = append(n.rows, int32(len(n.column)))
	}
	n.free = at
	n.meet = n.meet[:0]
	for k := range m {
		row := n.column[n.rows[k]:n.rows[k+1]]
		for i, a := range row {
			for _, b := range row[i+1:] {
				n.meet = append(n.meet, n.find(a, b))
			}
		}
	}
	n.slot = fill(n.slot, len(c.parts), 0)
	for i := range c.parts {
		n.slot[i] = n.find(n.super[c.parts[i].a], n.super[c.parts[i].b])
	}
}

// find returns the slot of the conductance between two supernodes.
func (n *network) find(a, b int32) int32 {
	if a > b {
		a, b = b, a
	}
	if a != b {
		for s := n.rows[a]; s < n.rows[a+1]; s++ {
			if n.column[s] == b {
				return s
			}
		}
	}
	return int32(len(n.column))
}

// voltages replaces b, the current into each unknown, by the voltage it makes.
// It uses up the conductances g. Both have one element more, for what goes to
// Ground and nowhere.
func (n *network) voltages(g, b []float64) {
	meet := n.meet
	for k := range n.unknowns {
		start, end := n.rows[k], n.rows[k+1]
		row, column := g[start:end], n.column[start:end]
		sum := 0.0
		for _, x := range row {
			sum += x
		}
		for i, x := range row {
			share := x / sum
			b[column[i]] += share * b[k]
			rest := row[i+1:]
			for j, y := range rest {
				g[meet[j]] += share * y
			}
			meet = meet[len(rest):]
			row[i] = share
		}
		b[k] /= sum
	}
	b[n.unknowns] = 0
	for k := n.unknowns - 1; k >= 0; k-- {
		start, end := n.rows[k], n.rows[k+1]
		for s := start; s < end; s++ {
			b[k] += g[s] * b[n.column[s]]
		}
	}
}

// fill returns s with n elements, all v, made anew only if it has not the room.
func fill[T any](s []T, n int, v T) []T {
	if cap(s) < n {
		s = make([]T, n)
	}
	s = s[:n]
	for i := range s {
		s[i] = v
	}
	return s
}
