package plinth.app

import android.graphics.Rect
import kotlinx.coroutines.runBlocking
import org.json.JSONObject
import org.junit.Assert.assertTrue
import org.robolectric.RuntimeEnvironment
import plinth.boundary.Outcome
import plinth.core.Choice
import plinth.core.FloorEvent
import plinth.core.FloorScreen
import java.io.File
import java.nio.file.Path
import kotlin.io.path.readText
import kotlin.reflect.KClass

/** Everything on a screen of the floor that can be touched. */
internal fun FloorScreen.choices(): List<Choice> =
    listOfNotNull(wide, undo) + actions + more?.buttons.orEmpty() + (before + rows + form?.rows.orEmpty()).flatMap { it.buttons }

/** Touches the button that sends such an event, behind *More* where it lies there. */
internal inline fun <reified E : FloorEvent> Lifter.takes(noinline wanted: (E) -> Boolean = { true }): Lifter {
    val all = floor.choices()
    val choice = all.firstOrNull { it.event is E && wanted(it.event as E) }
    checkNotNull(choice) { "nothing sends such a ${E::class.simpleName} among ${all.map { it.event }}" }
    if (!stands(choice)) touches(checkNotNull(floor.more).label)
    return touchesExactly(written(choice))
}

internal fun written(choice: Choice) = (listOf(choice.label) + choice.more).joinToString("\n")

internal fun Lifter.stands(choice: Choice) = buttons.any { it.text.toString() == written(choice) }

/** Opens with the week taken on and the gym's kit in the record; [change] alters the programme first. */
internal fun Lifter.opensInGym(
    kits: Int = 1,
    change: JSONObject.() -> Unit = {},
): Lifter {
    RuntimeEnvironment.setQualifiers("+mdpi")
    opens()
    runBlocking {
        app.house.ask { it.tellBrief(Lifter.brief) }.getOrThrow()
        for (kit in 1..kits) {
            val file = File.createTempFile("gym", ".json").apply { writeText(Forms.gym(kit)) }
            val outcome = app.house.ask { it.import(file.path) }.getOrThrow()
            assertTrue("$outcome", outcome is Outcome.Imported && outcome.imported.notTaken.isEmpty())
            file.delete()
        }
        app.house.ask { it.takeOn(JSONObject(Lifter.programme(it)).apply(change).toString()) }.getOrThrow()
    }
    app.house.tick()
    settle()
    return this
}

/** Begins without a programme, with these movements. */
internal fun Lifter.beginsWith(vararg movements: String): Lifter {
    takes<FloorEvent.ChooseDay> { it.day == null }
    begins()
    for (movement in movements) takes<FloorEvent.Movements>().takes<FloorEvent.Add> { it.movement == movement }
    return this
}

/** Every ramp set of the movement at hand, and the rests between them. */
internal fun Lifter.ramps(): Lifter {
    var left = 12
    while ("Warm-up set" in checkNotNull(floor.set).count && left-- > 0) doesASet()
    return ready()
}

/** Ends a rest that runs. */
internal fun Lifter.ready(): Lifter {
    if (floor.stage == "resting") takes<FloorEvent.Ready>()
    return this
}

/** Draws a form, and sees that what it is named for in [Forms.pictures] stands on it. */
internal fun Lifter.pictures(name: String): Lifter {
    Golden.check(name, root)
    offers(name)
    return this
}

/** Every event that [name] is to show has a button in the window. */
internal fun Lifter.offers(name: String) {
    val shown =
        floor
            .choices()
            .filter { stands(it) }
            .map { it.event::class }
            .toSet()
    for (event in Forms.pictures.filterValues { it == name }.keys) {
        assertTrue("$name has a button for ${event.simpleName} among $words", event in shown)
    }
}

/** Which picture shows the button of which event of the floor. */
internal object Forms {
    val pictures: Map<KClass<out FloorEvent>, String> =
        mapOf(
            FloorEvent.ChooseDay::class to "floor-before",
            FloorEvent.Company::class to "floor-before",
            FloorEvent.Safeties::class to "form-places",
            FloorEvent.Feeling::class to "form-places",
            FloorEvent.MinutesAtHand::class to "form-places",
            FloorEvent.Begin::class to "floor-before",
            FloorEvent.Adult::class to "form-adult",
            FloorEvent.Place::class to "form-places",
            FloorEvent.WarmUpDone::class to "floor-warm-up",
            FloorEvent.WarmUpSkipped::class to "form-warm-up-more",
            FloorEvent.Done::class to "floor-lifting",
            FloorEvent.NotAsWritten::class to "floor-lifting",
            FloorEvent.StandIns::class to "floor-lifting",
            FloorEvent.MinutesLeft::class to "floor-lifting",
            FloorEvent.Wrong::class to "floor-lifting",
            FloorEvent.Pause::class to "floor-lifting",
            FloorEvent.Close::class to "floor-lifting",
            FloorEvent.Undo::class to "floor-lifting",
            FloorEvent.Longer::class to "floor-resting",
            FloorEvent.Ready::class to "floor-resting",
            FloorEvent.EndedEarlier::class to "form-more",
            FloorEvent.Kit::class to "form-more",
            FloorEvent.Sharing::class to "form-more",
            FloorEvent.Lines::class to "form-more",
            FloorEvent.Movements::class to "form-more",
            FloorEvent.SetsDone::class to "form-more",
            FloorEvent.DoneWith::class to "form-search",
            FloorEvent.Lighter::class to "form-too-heavy",
            FloorEvent.HoldBegun::class to "form-hold",
            FloorEvent.Load::class to "form-not-as-written",
            FloorEvent.Reserve::class to "form-not-as-written",
            FloorEvent.Missed::class to "form-not-as-written-end",
            FloorEvent.EndedAgo::class to "form-not-as-written-end",
            FloorEvent.Amount::class to "form-not-as-written-end",
            FloorEvent.Turn::class to "form-not-as-written-end",
            FloorEvent.Back::class to "form-not-as-written",
            FloorEvent.AmountThen::class to "form-all-amounts",
            FloorEvent.SidesApart::class to "form-sides-apart",
            FloorEvent.Correct::class to "form-sets-done",
            FloorEvent.Remove::class to "form-sets-done",
            FloorEvent.StandIn::class to "form-stand-ins",
            FloorEvent.Taken::class to "form-kit",
            FloorEvent.Minutes::class to "form-minutes",
            FloorEvent.TakeMinutes::class to "form-minutes-answer",
            FloorEvent.Hurts::class to "form-wrong",
            FloorEvent.Unwell::class to "form-wrong",
            FloorEvent.HurtsWhere::class to "form-where",
            FloorEvent.HurtsHow::class to "form-how",
            FloorEvent.HurtsMuch::class to "form-how-much",
            FloorEvent.Flag::class to "form-unwell",
            FloorEvent.FlagWhere::class to "form-flag-where",
            FloorEvent.ConfirmFlag::class to "form-confirm",
            FloorEvent.Dial::class to "form-ended-by-flag",
            FloorEvent.Late::class to "form-lines",
            FloorEvent.GoTo::class to "form-lines",
            FloorEvent.ExtraSet::class to "form-lines",
            FloorEvent.Add::class to "form-movements",
            FloorEvent.Partner::class to "form-sharing",
            FloorEvent.Resume::class to "form-paused",
            FloorEvent.CloseForgotten::class to "form-forgotten",
        )

    /** Those that no screen offers: what a shell sends of itself, and a note, which comes with what is written. */
    val ofTheShell: Set<KClass<out FloorEvent>> =
        setOf(FloorEvent.Open::class, FloorEvent.Tick::class, FloorEvent.Speak::class, FloorEvent.Note::class)

    /** The invented lifter's gym; the others are the same one at another place. */
    fun gym(number: Int): String =
        Path.of(System.getProperty("plinth.vectors"), "../src/vectors/gym.json").readText().let {
            if (number == 1) it else it.replace("Small gym", "Gym $number").replace("000000000003", "00000000001$number")
        }
}
