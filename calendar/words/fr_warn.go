package words

// Sources of what is said in warnings: see [heldCold].
const (
	frenchHeldCold = "Feuillets de vulgarisation, repris par des producteurs\u00a0: garder l'eau à 3\u00a0°C ou " +
		"moins; au-dessus de 10\u00a0°C, la bouillir aussitôt"
	frenchWeeklyLog = "Journal d'un producteur qui bouillait ses chaudières une fois la semaine, vers 2022 " +
		"(forum de producteurs)"
	frenchPaleAgain = "La Terre de chez nous, 2024\u00a0: l'eau qui avait foncé à 14 ou 15\u00a0°C est redevenue " +
		"claire après un gel"
	frenchFrozenGas = "Témoignage d'un producteur\u00a0: entre −15 et −12\u00a0°C, réservoir, valve " +
		"et tubulure ont gelé"
	frenchColdDrill = "Producteurs de l'Ontario, 2021\u00a0: ne pas percer par grand froid, qui fend l'écorce"
	frenchTrunkThaw = "Université du Vermont, comme on le dit aux producteurs\u00a0: il faut un jour ou deux de " +
		"soleil pour dégeler les troncs, le côté sud d'abord"
)

// The usual cautions of freeze-ups and warm spells: see [freezeCautions].
var (
	frenchFreezeCautions = ofNone(
		"Glace sur les sentiers, les échelles et les couvercles\u00a0: dégagez-la, et travaillez à "+
			"deux en terrain pentu.",
		"Dégelez tubulure, valves et pompes à l'eau tiède ou de jour\u00a0: pas de chalumeau à gaz, pas de "+
			"chaufferette laissée seule.",
		"Chaudières et réservoirs pleins et gelés sont lourds et éclatent\u00a0: videz-les avant, ne cassez pas la "+
			"glace à coups d'outil.",
	)
	frenchSpoiledCaution = ofNone("Ne buvez pas et ne faites pas bouillir une eau filante, laiteuse ou qui " +
		"sent\u00a0: jetez-la, et rincez à l'eau chaude.")
)
