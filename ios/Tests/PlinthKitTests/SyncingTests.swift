import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

extension Everything {
    @Test @MainActor func unpairedNothingIsSentAndNoTimeIsAskedFor() async throws {
        let (lifter, _) = try await eveningLifter()
        await lifter.house.perform(.askForSync)
        await lifter.wall.syncing.background()
        #expect(lifter.phone.servers.sent == 0 && lifter.phone.background == nil && lifter.wall.syncing.told == nil)
        try lifter.end()
    }

    @Test @MainActor func theWaitOfTheCoreIsKeptAlsoByAnotherProcess() async throws {
        let evening = try Evening()
        let clock = TestClock(evening.start)
        let busy = ServersOfTests { _ in SyncAnswer(status: 503, retryAfterS: 600, body: Data()) }
        let phone = PhoneOfTests(servers: busy)
        let lifter = Lifter(try scratchFolder(), clock: clock, phone: phone)
        await lifter.opens()
        #expect(phone.vault.keep(Pairing(address: "https://basement", fingerprint: nil, token: "token")))
        let wait = try #require(await lifter.wall.syncing.run())
        #expect(busy.sent == 1 && wait >= .seconds(600))
        #expect(phone.background == wait && busy.metered == false)
        #expect(lifter.wall.syncing.told?.hasSuffix(".") == true)
        lifter.house.shutDown()

        // Another process asks at once, by the system's leave too: it waits for the rest of it.
        clock.passes(.seconds(100))
        let again = Lifter(lifter.folder, clock: clock, phone: phone)
        await again.opens()
        #expect(phone.background == wait - .seconds(100))
        await again.wall.syncing.background()
        #expect(busy.sent == 1)
        // A clock that was set far ahead does not make it wait for ever.
        clock.isSet(by: -10 * 365 * 86_400_000)
        again.wall.syncing.ask()
        #expect(phone.background == Syncing.longest)
        // What the lifter asks for does not wait.
        again.wall.syncing.forgetWait()
        await again.wall.syncing.background()
        #expect(busy.sent == 2)
        try again.end()
    }

    @Test @MainActor func whatStandsInTheWayIsToldInTheRecordsLanguage() async throws {
        let (lifter, _) = try await eveningLifter(.german)
        _ = lifter.phone.vault.keep(Pairing(address: "https://basement", fingerprint: "00", token: "token"))
        for trouble in Trouble.allCases {
            lifter.phone.servers.trouble = trouble
            await lifter.wall.syncing.run()
            let told = try #require(lifter.wall.syncing.told)
            #expect(told == Words(.german).told(trouble) && told != Words(.english).told(trouble))
        }
        // A lost pairing is told once, and is none from then on.
        lifter.phone.vault.lose()
        #expect(await lifter.wall.syncing.run() == nil)
        #expect(lifter.wall.syncing.told == Words(.german)(.pairingLost))
        #expect(lifter.phone.vault.read() == .nothing && lifter.phone.background == nil)
        try lifter.end()
    }

    @Test @MainActor func anInvitationIsReadThePairingKeptAndLetGo() async throws {
        let evening = try Evening()
        let clock = TestClock(evening.start)
        let server = ServersOfTests { request in
            request.path == "/v1/sync"
                ? SyncAnswer(status: 503, body: Data()) : SyncAnswer(status: 404, body: Data("{}".utf8))
        }
        let phone = PhoneOfTests(servers: server)
        let lifter = Lifter(try scratchFolder(), clock: clock, phone: phone)
        await lifter.opens()
        // A code that was refused is told, with what to do; nothing is kept.
        await lifter.house.perform(
            .pair(address: "https://basement:8443", certificate: nil, path: "/v1/pair", body: "{}"))
        await lifter.wall.syncing.settled()
        #expect(server.sent == 1 && phone.vault.read() == .nothing)
        #expect(lifter.wall.syncing.told?.isEmpty == false && lifter.wall.syncing.told != "One moment")
        // No connection.
        await lifter.house.perform(
            .pair(address: "https://basement:8443", certificate: nil, path: "/v1/pair", body: "{}"))
        await lifter.wall.syncing.settled()
        // Metered connections, and parting.
        _ = phone.vault.keep(Pairing(address: "https://basement", fingerprint: nil, token: "token"))
        await lifter.house.perform(.allowMetered(on: true))
        await lifter.wall.syncing.run()
        #expect(server.metered == true)
        await lifter.house.perform(.unpair)
        #expect(phone.vault.read() == .nothing && phone.background == nil && lifter.wall.syncing.told == nil)
        // What is opened as an invitation leads to the core's own page.
        lifter.wall.open(try #require(URL(string: "plinth:pair?nothing")))
        try await until { lifter.refused != nil }
        #expect(lifter.page?.place == .locker, "the core says there that it is no invitation")
        try lifter.end()
    }
}
