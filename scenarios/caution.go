package scenarios

import (
	"slices"

	"puddlewise/scoring/weld"
)

// Hazard names a danger that brings its own caution onto the joint sheet.
type Hazard string

// Hazards.
const (
	StainlessFume      Hazard = "stainless fume"
	ClosedSection      Hazard = "closed section"
	ConfinedPurge      Hazard = "purge in a confined space"
	Coating            Hazard = "coating"
	ChlorinatedCleaner Hazard = "chlorinated cleaner"
	AluminiumOzone     Hazard = "ozone over aluminium"
	Overhead           Hazard = "overhead"
)

// Hazards lists them in the order they are shown.
var Hazards = []Hazard{StainlessFume, ClosedSection, ConfinedPurge, Coating, ChlorinatedCleaner, AluminiumOzone, Overhead}

// Caution gives the sentence the joint sheet shows for the hazard, or "" for an unknown one.
func (h Hazard) Caution() string { return cautions[h] }

var cautions = map[Hazard]string{
	StainlessFume:      "Stainless fume carries hexavalent chromium: run the extraction at the joint and keep your head out of the plume.",
	ClosedSection:      "A closed hollow holds air and vapour that swell as it heats: vent it, make sure it is clean and dry inside, and keep your face off the vent.",
	ConfinedPurge:      "Argon is heavier than air, has no smell and lies in tanks, pits and low corners: never put your head in, and have the oxygen measured before anyone enters.",
	Coating:            "Paint, zinc, cadmium and chrome give poisonous fume: strip them well back on both sides and ventilate, or do not weld.",
	ChlorinatedCleaner: "The arc's ultraviolet turns the vapour of chlorinated cleaners into phosgene: keep them out of the room and out of the joint; a crevice still holds some after the part looks dry.",
	AluminiumOzone:     "A bright arc on aluminium makes ozone: ventilate where you breathe, with air that does not blow across the pool, and cover neck and wrists.",
	Overhead:           "Overhead, sparks and hot metal come down on you: leathers buttoned to the neck, cap under the helmet, and stand out of the line of fall.",
}

// GeneralCautions are shown at first start and on request: what holds for every joint.
var GeneralCautions = []string{
	"This is practice, not a procedure. Local codes and rules, the shop's WPS and risk assessment, and a licensed instructor come first; where this trainer says otherwise, they are right.",
	"Arc light: wear a helmet of shade 8 at least below 150 A and shade 10 from there to 500 A; start darker and lighten until you see the pool. Cover all skin: the clear argon arc burns sooner than it looks.",
	"Fume: ventilate or extract at the joint, keep your head out of the plume, and weld bare, clean metal. Steel fume carries manganese, stainless fume hexavalent chromium.",
	"Shielding gas: argon pushes out the air you breathe and lies in low places without a smell. Never put your head into a purged tank or a pit.",
	"Shock: dry gloves, stand insulated from work and ground, switch off before you change the tungsten. High-frequency starting can bite through thin insulation and disturb a pacemaker.",
	"Fire: clear or cover what burns within 10.7 m (35 ft), keep an extinguisher at hand, and watch for at least half an hour after the arc is out, longer where the permit says so.",
	"Hot metal: a silver tube can be at 400 C and look cold. Mark what is hot, and quench only when told to.",
	"Cylinders: upright and chained, cap on when moved, the regulator made for that gas, no oil anywhere near it.",
	"Closed tubes, tanks and drums: vented, cleaned, purged and tested before any arc.",
	"Cleaners and coatings: no chlorinated solvent near an arc; strip zinc, cadmium, lead and paint well back.",
	"Grinding: thoriated tungsten dust is radioactive when breathed in: use another class or extraction. Keep aluminium dust away from steel sparks.",
}

// implied gives the hazards a joint brings whether or not its file names them.
func implied(t weld.Task) []Hazard {
	var hs []Hazard
	for _, m := range []weld.Member{t.A, t.B} {
		switch m.Metal.Family() {
		case weld.Stainless:
			hs = append(hs, StainlessFume)
		case weld.Aluminium:
			hs = append(hs, AluminiumOzone)
		}
	}
	if t.ClosedVolume {
		hs = append(hs, ClosedSection)
	}
	if t.Surface == weld.Painted || t.Surface == weld.Zinc {
		hs = append(hs, Coating)
	}
	if t.Position == weld.PD || t.Position == weld.PE || t.Level() { // a level tube is overhead at six o'clock
		hs = append(hs, Overhead)
	}
	return hs
}

// inOrder gives each hazard once, in the order of Hazards.
func inOrder(hs []Hazard) []Hazard {
	var out []Hazard
	for _, h := range Hazards {
		if slices.Contains(hs, h) {
			out = append(out, h)
		}
	}
	return out
}
