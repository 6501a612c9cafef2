package trace

import (
	"cmp"
	"math"

	"pintail/api/sorting"
)

// alikeFactor is how much likelier the evidence may be under one cause than
// under another of its group; contradicts is how much likelier a single item may.
// Judgement: a factor below these is weak evidence, and one wrong look is worth
// more.
var (
	alikeFactor = math.Log(50)
	contradicts = math.Log(30)
)

// site is a cause whatever its size: causes that are mended alike.
type site struct {
	causes    []int // the likeliest first
	posterior float64
}

// group is sites that give the evidence alike.
type group struct {
	sites     []site // the likeliest first
	posterior float64
}

// sites sorts the causes into sites, the likeliest first.
func (b *belief) sites() []site {
	var all []site
	at := map[string]int{}
	for _, i := range b.order() {
		name := b.p.Causes[i].Site()
		k, known := at[name]
		if !known {
			k = len(all)
			at[name] = k
			all = append(all, site{})
		}
		all[k].causes = append(all[k].causes, i)
		all[k].posterior += b.posterior[i]
	}
	sorting.By(all, func(x, y site) int { return cmp.Compare(y.posterior, x.posterior) })
	return all
}

// order is the causes from the likeliest on.
func (b *belief) order() []int {
	order := make([]int, len(b.posterior))
	for i := range order {
		order[i] = i
	}
	sorting.By(order, func(i, j int) int { return cmp.Compare(b.posterior[j], b.posterior[i]) })
	return order
}

// groups sorts the sites into groups, the likeliest first. Each begins with the
// likeliest site left, and takes what the evidence does not tell from it.
func (b *belief) groups() []group {
	sites := b.sites()
	taken := make([]bool, len(sites))
	var all []group
	for i := range sites {
		if taken[i] || sites[i].posterior < 1e-6 {
			continue
		}
		g := group{}
		for j := range sites {
			if !taken[j] && (i == j || b.alike(sites[i].causes[0], sites[j].causes[0])) {
				taken[j] = true
				g.sites = append(g.sites, sites[j])
				g.posterior += sites[j].posterior
			}
		}
		all = append(all, g)
	}
	sorting.By(all, func(x, y group) int { return cmp.Compare(y.posterior, x.posterior) })
	return all
}

// alike reports whether the evidence does not tell two causes apart. Two faults
// never stand beside one that explains as much.
func (b *belief) alike(i, j int) bool {
	one, other := len(b.p.Causes[i].Faults), len(b.p.Causes[j].Faults)
	if one != other && one+other > 1 || math.Abs(b.evidence[i]-b.evidence[j]) > alikeFactor {
		return false
	}
	for k := range b.items {
		if math.Abs(b.logs[i][k]-b.logs[j][k]) > contradicts {
			return false
		}
	}
	return true
}
