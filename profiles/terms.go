package profiles

import "strings"

// longestTerm is the most words that a term has.
const longestTerm = 3

// terms leads from a score term to the profile. The terms and abbreviations are
// those of printed scores: common practice, no published source. They are
// folded as names are, so umlauts and accents are written out here.
var terms = func() map[string]string {
	m := map[string]string{}
	for _, line := range termLines {
		for _, term := range strings.Split(line.terms, ", ") {
			m[strings.Join(tokensOf(term), " ")] = line.profile
		}
	}
	return m
}()

var termLines = []struct{ profile, terms string }{
	// wood-wind
	{"piccolo", "flautín, flautines, flautino, kl flöte, kl flöten, pte flûte, ptes flûtes, petite fl, petites fl, kleine fl, piccolo, piccolos, picc, pic, piccolo flute, flute piccolo, flauto piccolo, flauti piccoli, fl picc, petite flûte, petites flûtes, p fl, pte fl, ottavino, ottavini, ott, kleine flöte, kleine flöten, kl fl, pikkolo, pikkoloflöte, piccoloflöte"},
	{"flute", "flauta, flautas, große flöten, gr flöte, gr flöten, grandes flûtes, gr flûte, gde flûte, gdes flûtes, gde fl, gdes fl, flute, flutes, fl, fls, flt, flauto, flauti, flöte, flöten, querflöte, querflöten, große flöte, gr fl, flûte, flûtes, grande flûte, traverso"},
	{"alto-flute", "alto flute, alto fl, a fl, afl, alt flöte, altflöte, flauto contralto, flauto alto, fl alto, fl contralto, flûte alto, bass flute, bassflöte, flauto basso, flûte basse, b fl, contrabass flute, flauto in sol, flûte en sol"},
	{"oboe", "oboé, oboés, oboe, oboes, oboi, oboen, ob, obs, hoboe, hoboen, hautbois, hautb, htb, hb, oboe d amore, hautbois d amour, liebesoboe"},
	{"cor-anglais", "corno inglés, cornos ingleses, cor anglais, cors anglais, cor angl, c angl, c a, english horn, english horns, engl horn, eng horn, engl hn, eng hn, e hn, ehn, e h, eh, englischhorn, englisches horn, engl hr, e hr, corno inglese, corni inglesi, cor ingl, c ingl, c i, ci, bass oboe, heckelphone, heckelphon, bassoboe"},
	{"clarinet", "clarinete, clarinetes, clarinet, clarinets, cl, cls, clar, clarinetto, clarinetti, klarinette, klarinetten, kl, klar, clarinette, clarinettes, basset horn, bassetthorn, basset clarinet, bassettklarinette, corno di bassetto, corni di bassetto, cor de basset, alto clarinet, altklarinette, clarinetto alto, clarinette alto"},
	{"clarinet-e-flat", "kl es, clarinete en mi b, clar picc, kl klarinette, clarinet in eb, clarinets in eb, cl in eb, clar in eb, clarinet eb, eb clarinet, eb clarinets, eb cl, cl eb, clarinetto in mi b, clarinetto in mib, clarinette en mi b, clarinette en mib, petite clarinette, pte cl, klarinette in es, kl in es, klarinette es, es klarinette, esklarinette, es kl, clarinet in d, klarinette in d, clarinetto in re, clarinette en ré, piccolo clarinet, sopranino clarinet, clarinetto piccolo, cl picc, picc cl, kleine klarinette, requinto"},
	{"bass-clarinet", "clarinete bajo, clar basso, baßklar, bass clarinet, bass clarinets, bass cl, b cl, bcl, bs cl, clarinetto basso, clarinetti bassi, cl basso, cl bso, clarone, clarinette basse, cl basse, bassklarinette, bassklarinetten, bass klarinette, bassklar, basskl, bass kl, bkl, contrabass clarinet, contra alto clarinet, contralto clarinet, kontrabassklarinette, clarinetto contrabbasso, clarinette contrebasse, cb cl"},
	{"bassoon", "fagote, fagotes, fgt, bassoon, bassoons, bsn, bsns, bssn, bn, bns, fagotto, fagotti, fg, fag, fagott, fagotte, basson, bassons, bon, bons"},
	{"contrabassoon", "contrafagote, contrabsn, contra bsn, kontrafag, contrafag, cfgt, ctrbsn, ctre basson, contrabassoon, contrabassoons, contra bassoon, double bassoon, cbsn, c bsn, cb bsn, cbn, c bn, d bsn, contrafagotto, contrafagotti, controfagotto, contra fagotto, cfg, c fg, cfag, c fag, cb fg, kontrafagott, kontra fagott, kfg, k fg, kfag, k fag, contrebasson, contre basson, cbon, c bon"},
	{"soprano-saxophone", "soprano saxophone, soprano sax, sop sax, s sax, saxophone soprano, sax soprano, sassofono soprano, sopransaxophon, sopransaxofon"},
	{"alto-saxophone", "saxophone, saxophones, sax, saxes, saxophon, sassofono, sassofoni, saxofon, alto saxophone, alto sax, a sax, asx, saxophone alto, sax alto, sax contralto, sassofono contralto, altsaxophon, altsax"},
	{"tenor-saxophone", "tenor saxophone, tenor sax, ten sax, t sax, tsx, saxophone ténor, sax ténor, sax tenore, sassofono tenore, tenorsaxophon, tenorsax"},
	{"baritone-saxophone", "baritone saxophone, baritone sax, bari sax, bar sax, b sax, bsx, saxophone baryton, sax baryton, sax baritono, sassofono baritono, baritonsaxophon, baritonsax, bass saxophone, bass sax, saxophone basse, basssaxophon"},
	{"woodwind", "woodwind, woodwinds, winds, ww, legni, holzbläser, bois, recorder, recorders, blockflöte, blockflöten, flauto dolce, flûte à bec"},

	// brass
	{"horn", "trompa, trompas, horn, horns, hn, hns, hrn, hrns, hr, french horn, french horns, f horn, f horns, f hn, fr hn, corno, corni, cor, cors, waldhorn, waldhörner, ventilhorn, hörner, wagner tuba, wagner tubas, wagnertuba, wagnertuben, tenortuben"},
	{"trumpet", "trompeta, trompetas, tr be, trumpet, trumpets, tpt, tpts, trpt, trpts, trp, tp, tr, tromba, trombe, tbe, trompete, trompeten, tromp, trompette, trompettes, clarino, clarini, piccolo trumpet, picc tpt, trompette piccolo, tromba piccola, bass trumpet, bass tpt, b tpt, basstrompete, tromba bassa, trompette basse"},
	{"cornet", "cornet, cornets, cnt, crt, cornet à pistons, cornets à pistons, c à p, piston, pistons, cornetta, cornette, kornett, kornette, flugelhorn, flugelhorns, flugel horn, flgn, flgh, flicorno, bugle, bugles, posthorn, post horn"},
	{"trombone", "trombón, trombones, tr ni, tr ne, trombon, trombone, trombones, tbn, tbns, trb, trbn, trbns, tne, trne, tromboni, posaune, posaunen, pos, ps, tenor trombone, tenor trombones, t tbn, tenorposaune, trombone tenore, trombone ténor, alto trombone, a tbn, altposaune, trombone alto, trombone contralto"},
	{"bass-trombone", "trombón bajo, bass trombone, bass trombones, bass tbn, bass trb, b tbn, btbn, b trb, b trbn, bs tbn, bassposaune, bassposaunen, bass posaune, bass pos, basspos, b pos, bpos, trombone basso, tromboni bassi, trb basso, tbn basso, trombone basse, trb basse, contrabass trombone, kontrabassposaune, trombone contrabbasso, trombone contrebasse, cb tbn, cimbasso"},
	{"tuba", "baß tuba, tuba, tubas, tuben, tb, tba, tub, bass tuba, basstuba, tuba basse, tuba bassa, contrabass tuba, kontrabasstuba, tuba contrebasse, tuba contrabbassa, cb tuba, ophicleide, ophicléide, oficleide, serpent, bombardon, sousaphone"},
	{"brass", "brass, brass section, blechbläser, blech, ottoni, cuivres, euphonium, euph, eufonio, baritone horn, tenor horn, tenorhorn, alto horn, althorn, saxhorn"},

	// percussion
	{"timpani", "timbal, timp ni, timbals, timpani, timpano, timp, timps, tmp, timb, timbales, pauken, pauke, pk, pkn, kettledrum, kettledrums, kettle drum, kettle drums"},
	{"glockenspiel", "glockenspiel, glock, glsp, gsp, glk, orchestra bells, campanelli, cmplli, camplli, jeu de timbres, carillon"},
	{"xylophone", "xylophone, xylo, xyl, xilofono, silofono, xil, xylophon"},
	{"marimba", "marimba, marimbas, mar, mrb, marimbaphon"},
	{"vibraphone", "vibraphone, vib, vibes, vbf, vibrafono, vibraphon"},
	{"tubular-bells", "tubular bells, tub bells, t bells, bells, chimes, campane, campane tubolari, cloches, cloches tubulaires, cloches tubes, glocken, röhrenglocken"},
	{"crotales", "crotales, crotali, crot, antique cymbals, cimbali antichi, cymbales antiques, antike zimbeln, zimbeln"},
	{"percussion", "percusión, caja, bombo, platillos, platillo, triángulo, pandereta, gr caisse, redoblante, percussion, perc, prc, percussioni, percussions, batterie, schlagzeug, schlagwerk, schlzg, slgz, drum, batteria, bass drum, b d, b dr, bd, gran cassa, grancassa, cassa, g c, gr c, gc, grosse caisse, gr caisse, große trommel, gr tr, snare drum, snare, s d, sd, s dr, sn dr, side drum, tamburo, tamburi, tamburo militare, t ro, caisse claire, tambour, tambour militaire, kleine trommel, kl tr, trommel, tenor drum, rührtrommel, wirbeltrommel, caisse roulante, cassa rullante, field drum, cymbal, cymbals, cym, cymb, piatti, piatto, ptti, cymbale, cymbales, becken, bck, bkn, triangle, trgl, trg, tri, triangolo, triangel, tam tam, tamtam, gong, gongs, tambourine, tamb, tamburino, tamburello, tamburo basco, tambour de basque, tamburin, schellentrommel, wood block, woodblock, wood blocks, temple blocks, castanets, castagnette, castagnettes, kastagnetten, nacchere, whip, frusta, peitsche, fouet, slapstick, ratchet, raganella, ratsche, crécelle, sleigh bells, cow bells, cowbell, cowbells, herdenglocken, sonagli, schellen, grelots, anvil, incudine, amboss, enclume, wind chimes, mark tree, bell tree, wind machine, windmaschine, thunder sheet, maracas, güiro, claves, bongos, congas, shaker, flexatone, steel drum, steel drums, tom toms, tom tom, tom, toms, taiko, cimbalom, zymbal, hackbrett, dulcimer, hammer, holzhammer"},
	{"drum-kit", "drum kit, drum set, drumkit, drumset, drums, drum channel"},

	// keyboards, harp and other plucked instruments
	{"piano", "piano, pianos, pf, pno, pfte, pianoforte, pianoforti, klavier, klaviere, klav, klv, flügel, grand piano, piano à queue, fortepiano, hammerklavier"},
	{"keyboard", "keyboard, keyboards, kbd, electric piano, e piano, clavichord, clavinet"},
	{"celesta", "celesta, cel, celeste, célesta"},
	{"organ", "organ, organs, org, organo, orgel, orgue, harmonium"},
	{"harpsichord", "harpsichord, hpschd, hpsd, hpsch, hpd, cembalo, clavicembalo, cemb, clavecin, virginal, spinet"},
	{"harp", "harp, harps, arpas, hp, hps, hrp, arpa, arpe, harfe, harfen, hfe, hf, harpe, harpes"},
	{"plucked", "lute, liuto, laute, luth, theorbo, tiorba, mandolin, mandolino, mandoline, zither, banjo, sitar, koto"},
	{plain, "guitar, guitars, gtr, chitarra, gitarre, guitare, bass guitar, electric bass, e bass, basso elettrico, guitare basse, accordion, fisarmonica, akkordeon, accordéon, harmonica, harmonika"},

	// voices
	{"solo-voice", "voice, vocal, vocals, vox, voce, singstimme, stimme, gesang, chant, voix, mezzo, mezzosoprano, mezzo soprano, mezzosopran, countertenor, controtenore, baritone, baritono, bariton, baryton, solo voice"},
	{"choir", "coros, choir, chorus, coro, cori, chor, chöre, chœur, chœurs, voices, voci, stimmen, satb"},
	{"choir-sopranos", "chorsopran, coro soprani, soprano, sopranos, soprani, sopran, soprane, sop"},
	{"choir-altos", "choralt, contraltos, alto, altos, alti, alt, contralto, contralti, altstimmen"},
	{"choir-tenors", "chortenor, tenores, tenor, tenors, tenore, tenori, tenöre, ténor, ténors, ten"},
	{"choir-basses", "chorbaß, chorbässe, bajos del coro, choir bass, choir basses, bass voice, bass voices, bassstimmen"},

	// strings
	{"violins", "violines, v ni, v no, violín, vv, violin, violins, vln, vlns, vl, vn, vns, vi, viol, violino, violini, vno, vni, violine, violinen, geige, geigen, violon, violons, vons, vlon, vlons, violino piccolo"},
	{"violas", "v le, v la, viola, violas, vla, vlas, va, vas, vle, viole, violen, bratsche, bratschen, br, brtsch"},
	{"cellos", "violonchelo, violonchelos, chelo, chelos, vcelle, vcelles, v c, violoncelle, vcello, vcelli, v cello, cello, cellos, celli, vc, vcs, vlc, vcl, vcll, vclle, vlle, violoncello, violoncellos, violoncelli, violoncelle, violoncelles, violoncell"},
	{"double-basses", "contrabajo, contrabajos, c basso, c bassi, ctb, cbb, double bass, double basses, doublebass, string bass, string basses, d b, db, dbs, cb, cbs, kb, c b, k b, contrabass, contrabasses, contrabasso, contrabbasso, contrabassi, contrabbassi, kontrabass, kontrabässe, kontrabaß, contrebasse, contrebasses, bass, basses, basso, bassi, bässe, bs"},
	{"violin", "fiddle, solo violin, violin solo, concertmaster, konzertmeister"},
	{"viola", "viola d amore, viole d amour, viola pomposa"},
	{"cello", "viola da gamba, viole da gamba, viole de gambe, gambe, gamba, viol da gamba"},
	{"strings", "string, strings, str, archi, streicher, streichorchester, cordes, string ensemble, string orchestra"},
	{"pizzicato-strings", "pizzicato, pizz, pizzicato strings, string pizzicato"},
	{"tremolo-strings", "tremolo strings, strings tremolo"},
}

// doubtful are the terms that mean another thing with some programs: the
// profile is that of the program, where the term can mean it.
var doubtful = map[string]map[int]string{
	"alto":     altoMeans,
	"altos":    altoMeans,
	"alt":      altoMeans,
	"alti":     altoMeans,
	"soprano":  {65: "soprano-saxophone"},
	"tenor":    {58: "trombone", 67: "tenor-saxophone"},
	"baritone": {58: "brass", 59: "brass", 68: "baritone-saxophone"},
	"bass":     bassMeans,
	"basses":   bassMeans,
	"basso":    bassMeans,
	"bassi":    bassMeans,
	"basse":    bassMeans, // the German plural, folded
	"bs":       bassMeans,
	"tr":       {58: "trombone"},
	"tp":       {48: "timpani"},
	"tb":       {57: "trumpet", 58: "trombone", 15: "tubular-bells"},
	"cor":      {70: "cor-anglais"},
	"cel":      {43: "cellos"},
	"celeste":  {17: "organ"},
	"bells":    {10: "glockenspiel"},
	"pos":      {20: "organ"},
	"br":       {62: "brass"},
	"tub":      {15: "tubular-bells"},
	"kl":       {1: "piano"},
}

var altoMeans = map[int]string{42: "violas", 58: "trombone", 66: "alto-saxophone", 74: "alto-flute"}

var bassMeans = map[int]string{
	33: plain, 34: plain, 35: plain, 36: plain, 37: plain, 38: plain, 39: plain, 40: plain,
	53: "choir-basses", 54: "choir-basses", 55: "choir-basses", 59: "tuba", 72: "bass-clarinet",
}
