package words

// frenchPrograms are [Programs] in French. Names of menus are from memory.
var frenchPrograms = []Program{
	{
		"Google Agenda", "sur un ordinateur, Autres agendas, +, À partir de l'URL; veut https",
		"toutes les 12 à 24 heures et plus, quoi que demande le calendrier",
		"non; ses réglages du calendrier peuvent avertir de chaque événement (de mémoire)",
	},
	{
		"Outlook.com, nouvel Outlook, Microsoft 365", "Ajouter un calendrier, S'abonner à partir du web; veut https",
		"toutes les 3 heures à un jour et plus", "non (de mémoire)",
	},
	{
		"Outlook classique", "Ajouter un calendrier, À partir d'Internet",
		"au démarrage, puis toutes les 1 à 3 heures, jamais plus souvent que le demande le calendrier", "non",
	},
	{
		"Calendrier d'Apple sur un Mac", "Fichier, Nouvel abonnement; emplacement iCloud, pour l'avoir au téléphone",
		"toutes les 5 minutes à toutes les semaines, à votre choix", "une fois décoché Supprimer les alertes",
	},
	{
		"iPhone, iPad", "touchez s'abonner; ou Réglages, Apps, Calendrier, Comptes, Ajouter un compte, Autre",
		"selon Nouvelles données", "une fois désactivé Supprimer les alarmes (de mémoire)",
	},
	{"Thunderbird", "Nouvel agenda, Sur le réseau", "toutes les 30 minutes, ou à votre choix",
		"oui, avec Afficher les rappels"},
	{
		"Nextcloud", "Nouvel agenda, Nouvel abonnement par lien",
		"comme le demandait le calendrier à l'abonnement, sinon chaque semaine",
		"non, il retire les rappels sauf réglage contraire",
	},
	{"ICSx5 sur Android", "+, ou touchez s'abonner", "à votre choix", "oui"},
	{
		"Proton, Fastmail", "Paramètres, Calendriers, à partir d'une URL", "toutes les 4 à 16 " +
			"heures; toutes les heures",
		"seulement ses propres rappels (de mémoire)",
	},
}
