#include "draw/png_file.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <string_view>
#include <utility>

namespace trenchwright {

namespace {

constexpr std::size_t bytes_per_dot = 3;
constexpr std::size_t most_dots = 86;         // 258 bytes, the longest copy of RFC 1951, 3.2.5
constexpr std::size_t farthest_bytes = 32768; // RFC 1951, 2
constexpr std::uint32_t rgb_mask = 0xFFFFFF;

/// Bits as they are written, the lowest first.
struct Code {
    std::uint32_t bits = 0;
    int length = 0;
};

Code joined(const Code& first, const Code& second)
{
    return {first.bits | second.bits << first.length, first.length + second.length};
}

/// A Huffman code is written from its highest bit on (RFC 1951, 3.1.1).
Code huffman(std::uint32_t code, int length)
{
    Code made{.length = length};
    for (int i = 0; i < length; ++i) {
        made.bits |= (code >> i & 1U) << (length - 1 - i);
    }
    return made;
}

/// The fixed codes of bytes and lengths, RFC 1951, 3.2.6.
Code fixed_code(std::uint32_t symbol)
{
    if (symbol < 144) {
        return huffman(0x30 + symbol, 8);
    }
    if (symbol < 256) {
        return huffman(0x190 + symbol - 144, 9);
    }
    return symbol < 280 ? huffman(symbol - 256, 7) : huffman(0xC0 + symbol - 280, 8);
}

/// Lengths and distances grow alike in RFC 1951, 3.2.5: after the first eight (four) symbols each step of four (two)
/// doubles the span of a symbol. @param value  from 0 @param steps_log2  2 for lengths, 1 for distances
struct Spread {
    std::uint32_t symbol = 0;
    Code extra;
};
Spread spread(std::uint32_t value, int steps_log2)
{
    const int extra = std::max(0, static_cast<int>(std::bit_width(value)) - 1 - steps_log2);
    const auto symbol = (static_cast<std::uint32_t>(extra) << steps_log2) + (value >> extra);
    return {symbol, {value & ((1U << extra) - 1), extra}};
}

Code length_code(std::size_t bytes)
{
    if (bytes == bytes_per_dot * most_dots) {
        return fixed_code(285);
    }
    const auto way = spread(static_cast<std::uint32_t>(bytes) - 3, 2);
    return joined(fixed_code(257 + way.symbol), way.extra);
}

Code distance_code(std::size_t bytes)
{
    const auto way = spread(static_cast<std::uint32_t>(bytes) - 1, 1);
    return joined(huffman(way.symbol, 5), way.extra);
}

struct Codes {
    std::array<Code, 256> byte;
    std::array<Code, most_dots + 1> dots; ///< length of a copy
};

Codes all_codes()
{
    Codes codes;
    for (std::uint32_t i = 0; i < codes.byte.size(); ++i) {
        codes.byte[i] = fixed_code(i);
    }
    for (std::size_t n = 1; n < codes.dots.size(); ++n) {
        codes.dots[n] = length_code(bytes_per_dot * n);
    }
    return codes;
}

class Bits {
  public:
    /// @param code  of up to 32 bits
    void put(const Code& code)
    {
        held_ |= static_cast<std::uint64_t>(code.bits) << count_;
        count_ += code.length;
        if (count_ >= 32) {
            write(4);
        }
    }

    [[nodiscard]] std::string take()
    {
        write((count_ + 7) / 8);
        return std::move(bytes_);
    }

  private:
    void write(int bytes)
    {
        std::array<char, 4> some{};
        for (std::size_t i = 0; i < some.size(); ++i) {
            some[i] = static_cast<char>(held_ >> 8 * i);
        }
        bytes_.append(some.data(), static_cast<std::size_t>(bytes));
        held_ >>= 32;
        count_ -= 32;
    }

    std::string bytes_;
    std::uint64_t held_ = 0;
    int count_ = 0;
};

/// RFC 1950, 8.2.
class Adler {
  public:
    void add(std::uint32_t rgb, std::uint64_t times)
    {
        const std::uint64_t red = rgb >> 16;
        const std::uint64_t green = rgb >> 8 & 0xFF;
        const std::uint64_t blue = rgb & 0xFF;
        const auto all = red + green + blue;
        b_ += times * (3 * a_ + 3 * red + 2 * green + blue) + 3 * all * (times * (times - 1) / 2);
        a_ += times * all;
    }

    /// After each row; the byte before it is 0.
    void begin_row()
    {
        b_ = (b_ + a_) % base;
        a_ %= base;
    }

    [[nodiscard]] std::uint32_t sum() const { return static_cast<std::uint32_t>(b_ % base << 16 | a_ % base); }

  private:
    static constexpr std::uint64_t base = 65521;
    std::uint64_t a_ = 1;
    std::uint64_t b_ = 0;
};

/// So many dots as they stand somewhere before.
struct Copy {
    std::size_t dots = 0;
    std::size_t distance_bytes = 0;
};

std::size_t alike(const std::uint32_t* a, const std::uint32_t* b, std::size_t most)
{
    constexpr std::size_t block = 32;
    if (most == 0 || ((a[0] ^ b[0]) & rgb_mask) != 0) {
        return 0;
    }
    std::size_t n = 0;
    for (; n + block <= most; n += block) {
        std::uint32_t differing = 0;
        for (std::size_t i = 0; i < block; ++i) {
            differing |= a[n + i] ^ b[n + i];
        }
        if ((differing & rgb_mask) != 0) {
            break;
        }
    }
    while (n < most && ((a[n] ^ b[n]) & rgb_mask) == 0) {
        ++n;
    }
    return n;
}

/// Packs a picture with the fixed codes of RFC 1951. Only whole dots are copied: from the left, from above, or from
/// where the same two dots stood last.
class Packer {
  public:
    explicit Packer(const Dots& dots) : dots_(dots) {}

    std::string pack()
    {
        bits_.put({.bits = 3, .length = 3}); // the last block, of fixed codes
        for (std::size_t row = 0; row < dots_.rows(); ++row) {
            bits_.put(codes_.byte[0]); // the row's filter: none
            adler_.begin_row();
            for (std::size_t col = 0; col < dots_.cols;) {
                const auto copy = best_copy(row, col);
                put(dots_.row(row).subspan(col, std::max<std::size_t>(copy.dots, 1)), copy);
                col += std::max<std::size_t>(copy.dots, 1);
            }
        }
        bits_.put(fixed_code(256));
        return bits_.take();
    }

    [[nodiscard]] std::uint32_t sum() const { return adler_.sum(); }

  private:
    [[nodiscard]] std::size_t distance_bytes(std::size_t rows) const { return rows * (1 + bytes_per_dot * dots_.cols); }

    [[nodiscard]] Copy best_copy(std::size_t row, std::size_t col)
    {
        constexpr std::size_t short_dots = 3;
        const auto* here = &dots_.row(row)[col];
        const auto rest = dots_.cols - col;
        Copy best{.dots = col == 0 ? 0 : alike(here, here - 1, rest), .distance_bytes = bytes_per_dot};
        if (best.dots < short_dots && row > 0 && distance_bytes(1) <= farthest_bytes) {
            const auto dots = alike(here, here - dots_.stride, rest);
            best = dots > best.dots ? Copy{dots, distance_bytes(1)} : best;
        }
        if (best.dots < short_dots && rest > 1) {
            const auto again = copy_of_last(row, col);
            best = again.dots > std::max<std::size_t>(best.dots, 1) ? again : best;
        }
        return best;
    }

    [[nodiscard]] Copy copy_of_last(std::size_t row, std::size_t col)
    {
        const auto* here = &dots_.row(row)[col];
        const auto key = (here[0] & rgb_mask) * 0x9E3779B1U ^ (here[1] & rgb_mask) * 0x85EBCA77U;
        auto& last = last_[key >> 19];
        const auto before = std::exchange(last, Place{row, col});
        if (before.row == none) {
            return {};
        }
        const auto distance = distance_bytes(row - before.row) + bytes_per_dot * col - bytes_per_dot * before.col;
        if (distance > farthest_bytes) {
            return {};
        }
        const auto most = dots_.cols - std::max(col, before.col);
        return {alike(here, &dots_.row(before.row)[before.col], most), distance};
    }

    /// @param dots  one, where there is nothing to copy
    void put(std::span<const std::uint32_t> dots, const Copy& copy)
    {
        if (copy.dots == 0) {
            const auto rgb = dots.front();
            bits_.put(
                joined(joined(codes_.byte[rgb >> 16 & 0xFF], codes_.byte[rgb >> 8 & 0xFF]), codes_.byte[rgb & 0xFF]));
        }
        const auto distance = copy.dots == 0 ? Code{} : distance_code(copy.distance_bytes);
        for (auto rest = copy.dots; rest > 0; rest -= std::min(rest, most_dots)) {
            bits_.put(joined(codes_.dots[std::min(rest, most_dots)], distance));
        }
        for (std::size_t at = 0; at < dots.size();) { // many a row is of one colour
            const auto times = 1 + alike(&dots[at], &dots[at] + 1, dots.size() - at - 1);
            adler_.add(dots[at] & rgb_mask, times);
            at += times;
        }
    }

    struct Place {
        std::size_t row = none;
        std::size_t col = 0;
    };
    static constexpr std::size_t none = static_cast<std::size_t>(-1);

    const Dots& dots_;
    Codes codes_ = all_codes();
    Bits bits_;
    Adler adler_;
    std::array<Place, 8192> last_{}; ///< by what the two dots there are
};

std::string big_endian(std::uint32_t value)
{
    std::string bytes;
    for (const int shift : {24, 16, 8, 0}) {
        bytes.push_back(static_cast<char>(value >> shift));
    }
    return bytes;
}

/// ISO/IEC 15948, annex D.
std::uint32_t crc(std::string_view bytes)
{
    static constexpr auto table = [] {
        std::array<std::uint32_t, 256> made{};
        for (std::uint32_t i = 0; i < made.size(); ++i) {
            made[i] = i;
            for (int bit = 0; bit < 8; ++bit) {
                made[i] = (made[i] & 1) != 0 ? 0xEDB88320U ^ made[i] >> 1 : made[i] >> 1;
            }
        }
        return made;
    }();
    std::uint32_t sum = 0xFFFFFFFFU;
    for (const char byte : bytes) {
        sum = table[(sum ^ static_cast<unsigned char>(byte)) & 0xFF] ^ sum >> 8;
    }
    return ~sum;
}

std::string chunk(const std::string& name, const std::string& data)
{
    const auto body = name + data;
    return big_endian(static_cast<std::uint32_t>(data.size())) + body + big_endian(crc(body));
}

} // namespace

std::string png_file(const Dots& dots)
{
    const auto cols = big_endian(static_cast<std::uint32_t>(dots.cols));
    const auto rows = big_endian(static_cast<std::uint32_t>(dots.rows()));
    Packer packer(dots);
    const auto packed = packer.pack();
    return "\x89PNG\r\n\x1a\n" +
           chunk("IHDR", cols + rows + std::string("\x08\x02\0\0\0", 5)) + // 8 bits each of red, green, blue
           chunk("IDAT", "\x78\x01" + packed + big_endian(packer.sum())) + chunk("IEND", "");
}

} // namespace trenchwright
