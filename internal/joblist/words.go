package joblist

// statusKey is the column that says what became of a job. It is none of a job's
// own: records hold jobs that are to be done.
const statusKey = "status"

// known are the headings that are understood without being asked, in plain words
// of English and Spanish, folded (see fold). A site's own come first.
var known = map[string][]string{
	"job": {"job", "job id", "job no", "job number", "job card", "order", "order no", "order number", "work order", "work order no", "work order number",
		"wo", "wo no", "wo number", "w o", "w o no", "w o number",
		"trabajo", "no de trabajo", "numero de trabajo", "orden", "no de orden", "numero de orden", "orden de trabajo", "no de orden de trabajo", "n o de orden", "n o de trabajo", "ot", "no ot", "no de ot", "o t"},
	"unit":      {"unit", "unit tag", "unit no", "tag", "tag no", "tag number", "pump", "pump no", "pump tag", "equipment", "equipment no", "equipment tag", "machine", "unidad", "etiqueta", "bomba", "no de bomba", "equipo", "maquina"},
	"procedure": {"procedure", "procedure name", "method", "procedimiento", "metodo"},
	"day":       {"day", "date", "planned day", "planned date", "planned for", "start", "start day", "start date", "dia", "fecha", "dia previsto", "fecha prevista", "inicio", "fecha de inicio"},
	"crew":      {"crew", "shift", "team", "gang", "cuadrilla", "turno", "equipo de trabajo", "brigada"},
	"people":    {"people", "persons", "no of people", "number of people", "personas", "no de personas", "n o de personas", "numero de personas", "gente"},
	"hours":     {"hours", "hours h", "planned hours", "duration h", "horas", "horas h", "horas previstas", "duracion h"},
	"reason":    {"reason", "reason for job", "why", "motivo", "causa", "por que"},
	"strip":     {"strip", "paper strip", "tira", "tira de papel"},
	statusKey:   {"status", "job status", "state", "estado", "estatus", "situacion"},
}

// meant are words in headings that are not understood, since they may mean another
// thing, but that point to a column: "Est. hrs" may be those of all people together.
var meant = map[string]string{
	"ref": "job", "reference": "job", "referencia": "job", "card": "job",
	"asset": "unit", "position": "unit", "item": "unit", "activo": "unit", "posicion": "unit",
	"task": "procedure", "work": "procedure", "activity": "procedure", "type": "procedure", "tarea": "procedure", "actividad": "procedure", "tipo": "procedure",
	"when": "day", "due": "day", "planned": "day", "scheduled": "day", "finish": "day", "cuando": "day", "vence": "day", "programado": "day",
	"who": "crew", "foreman": "crew", "group": "crew", "grupo": "crew", "quien": "crew",
	"men": "people", "headcount": "people", "heads": "people", "fitters": "people", "mechanics": "people", "hombres": "people", "mecanicos": "people",
	"hrs": "hours", "hr": "hours", "hour": "hours", "duration": "hours", "estimate": "hours", "hs": "hours", "hora": "hours", "duracion": "hours",
	"cancelled": statusKey, "canceled": statusKey, "cancelado": statusKey, "progress": statusKey,
}

// saysYes and saysNo are the words, folded, of a column that is ticked.
var (
	saysYes = []string{"yes", "y", "x", "true", "1", "si", "s", "verdadero"}
	saysNo  = []string{"no", "n", "false", "0", "falso"}
)

// calledOff are the words, folded, that say that a job is not to be done.
var calledOff = []string{"cancelled", "canceled", "cancel", "void", "voided", "withdrawn", "crossed out", "struck out", "called off", "deleted",
	"cancelado", "cancelada", "anulado", "anulada", "tachado", "tachada", "eliminado", "eliminada"}

// goingOn are the words of a status that let a job be printed without a question.
var goingOn = []string{"planned", "open", "ready", "released", "scheduled", "new", "approved", "ok", "to do", "confirmed", "active",
	"planificado", "planificada", "planeado", "planeada", "programado", "programada", "abierto", "abierta", "listo", "lista", "aprobado", "aprobada", "nuevo", "nueva", "pendiente", "pending", "confirmado", "confirmada", "activo", "activa"}

// sums are the words, folded, that a row of sums begins with.
var sums = []string{"total", "totals", "subtotal", "sub total", "grand total", "sum", "suma", "gran total", "totales", "subtotales"}

// The orders of a day that a heading may name, folded, such as Date (dd/mm/yyyy).
var headingOrders = map[string]string{
	"dd mm yyyy": dayFirst, "d m y": dayFirst, "d m yyyy": dayFirst, "dd mm aaaa": dayFirst, "d m a": dayFirst, "dd mm": dayFirst, "dia mes ano": dayFirst, "day month year": dayFirst,
	"mm dd yyyy": monthFirst, "m d y": monthFirst, "m d yyyy": monthFirst, "mm dd aaaa": monthFirst, "mm dd": monthFirst, "mes dia ano": monthFirst, "month day year": monthFirst,
	"yyyy mm dd": "", "aaaa mm dd": "",
}
