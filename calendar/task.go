package calendar

// Task is one step of an activity: a slug that never changes, since identifiers in published calendars rest on it.
type Task string

// The tasks of [Tapping].
const (
	TaskTap    Task = "tap"
	TaskRun    Task = "sap-run"
	TaskGather Task = "gather-sap"
	TaskLast   Task = "last-runs"
	TaskPull   Task = "pull-taps"

	TaskWarmSpell Task = "warm-spell" // stored sap spoils in it
	TaskFreezeUp  Task = "freeze-up"  // what holds sap freezes solid in it
)

// OfSite reports whether an event of the task is of the whole site and of none of its species, so that it stays the
// same when a species is added to the plan.
func (t Task) OfSite() bool { return t == TaskRun || t == TaskWarmSpell || t == TaskFreezeUp }

// IsSpell reports whether an event of the task is a spell of weather: no day of it is the best for anything.
func (t Task) IsSpell() bool { return t == TaskWarmSpell || t == TaskFreezeUp }

// The tasks of [SeedCollection], in the order of a seed's way.
const (
	TaskScout      Task = "scout-crop"
	TaskRipeness   Task = "check-ripeness"
	TaskCollect    Task = "collect-seed"
	TaskProcess    Task = "process-seed"
	TaskStore      Task = "store-seed"
	TaskTest       Task = "test-seed"
	TaskStratify   Task = "stratify"
	TaskSprouting  Task = "check-sprouting"
	TaskSow        Task = "sow"
	TaskGerminated Task = "check-germination"
)

// SeedTasks returns the tasks of [SeedCollection], in the order of a seed's way.
func SeedTasks() []Task {
	return []Task{
		TaskScout, TaskRipeness, TaskCollect, TaskProcess, TaskStore, TaskTest, TaskStratify, TaskSprouting, TaskSow,
		TaskGerminated,
	}
}

// TaskSurvey is the task of [TwigSurvey].
const TaskSurvey Task = "survey-twigs"

// The tasks of [FieldTrip].
const (
	TaskTrip     Task = "trip"
	TaskRainDate Task = "rain-date"
)
