import Foundation
import PlinthKit
import Testing

extension Everything {
    /// Every decision about a certificate: paired or not, of the paired server or another, in its time or not, trusted by
    /// the platform or not, for this host or another.
    @Test func trustTakesThePairedCertificateOrWhatThePlatformTrustsAndNothingElse() {
        let (own, other) = (String(repeating: "0a", count: 32), String(repeating: "0b", count: 32))
        func seen(
            _ fingerprint: String, _ time: SeenCertificate.Time = .within, trusted: Bool = false, host: Bool = true
        ) -> SeenCertificate {
            SeenCertificate(fingerprint: fingerprint, time: time, trusted: trusted, namesHost: host)
        }
        let paired = Trust(fingerprint: own)
        // The paired one, whoever signed it and whatever it names; letters of either size.
        #expect(paired.refusal(seen(own)) == nil)
        #expect(paired.refusal(seen(own.uppercased(), host: false)) == nil)
        #expect(Trust(fingerprint: own.uppercased()).refusal(seen(own)) == nil)
        #expect(paired.refusal(seen(own, .over)) == .expired)
        #expect(paired.refusal(seen(own, .notBegun)) == .clockWrong)
        #expect(paired.refusal(seen(own, .over, trusted: true)) == .expired)
        // Another one: only where the platform trusts it, for this host.
        #expect(paired.refusal(seen(other)) == .notThePaired)
        #expect(paired.refusal(seen(other, trusted: true)) == nil)
        #expect(paired.refusal(seen(other, trusted: true, host: false)) == .otherHost)
        #expect(paired.refusal(seen(other, .over, trusted: true)) == .notThePaired)
        // A part of the fingerprint is not the fingerprint, and none is none.
        #expect(paired.refusal(seen(String(own.dropLast()))) == .notThePaired)
        #expect(paired.refusal(seen("")) == .notThePaired)
        for bare in [Trust(fingerprint: nil), Trust(fingerprint: "")] {
            #expect(bare.refusal(seen("")) == .untrusted)
            #expect(bare.refusal(seen(other)) == .untrusted)
            #expect(bare.refusal(seen(other, .over)) == .expired)
            #expect(bare.refusal(seen(other, .notBegun)) == .clockWrong)
            #expect(bare.refusal(seen(other, trusted: true)) == nil)
            #expect(bare.refusal(seen(other, trusted: true, host: false)) == .otherHost)
        }
    }
}
